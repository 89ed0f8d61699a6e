"""Files of this program on disk: read with bounds, written whole or not at all."""
