"""The physics of the cut as one worksheet: the text of a formula is what is evaluated, printed and shown in pages."""
