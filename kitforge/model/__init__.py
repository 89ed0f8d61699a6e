"""The records that travel: kit, plan, settings, findings and messages, drawings, files of a pack."""
