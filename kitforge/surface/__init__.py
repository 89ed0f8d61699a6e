"""The surface as cut: a height map of a part after each step, figures and checks from it, and shaded pictures."""
