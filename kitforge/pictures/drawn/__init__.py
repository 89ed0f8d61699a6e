"""Pictures: SVG drawings in mm of paper, made from the kit's records. Nothing here reads or writes a file."""
