"""The picture report of a check: every part and sheet drawn, with its findings numbered where they are."""
