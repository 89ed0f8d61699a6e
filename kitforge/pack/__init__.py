"""The release archive: names, sums, cache and byte-identical zips."""
