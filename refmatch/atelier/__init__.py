"""The class: one lesson, and a box of tubes for everybody who paints it."""
