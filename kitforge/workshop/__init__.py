"""What a shop knows: materials, machine classes, hold-downs and finishes, with a source beside each number."""
