"""Reading a photo honestly: its colours, its light, its holes and masses."""
