"""Shaded pictures of a part as cut: from a slant or from above, in the colour and grain of its wood."""
