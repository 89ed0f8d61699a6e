"""Lettering: text as outlines from a font file, and V-cut engraving along the middle of the strokes."""
