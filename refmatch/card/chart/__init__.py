"""A 24-patch chart that lies in the photo: found by itself, and read."""
