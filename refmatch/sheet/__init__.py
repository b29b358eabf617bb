"""The mixing sheet: what it says, and how it is set on paper."""
