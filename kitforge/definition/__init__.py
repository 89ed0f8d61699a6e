"""The kit definition: schema, reader with positions, safe expressions."""
