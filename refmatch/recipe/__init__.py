"""From a target colour to parts of tubes, and the order to mix them in."""
