"""Pictures of a pack: shaded ones from the surface as cut, and line drawings."""
