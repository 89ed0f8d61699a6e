"""One list of findings in words, with fingerprints and waivers, and its writers. The README beside says more."""
