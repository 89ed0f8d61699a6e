"""From the definition that an author wrote to a kit: names looked up, expressions evaluated, shapes in mm."""
