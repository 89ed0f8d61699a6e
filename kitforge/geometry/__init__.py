"""Shapes and drawings to paths; offsets, reach and areas."""
