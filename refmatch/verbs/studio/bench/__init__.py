"""The bench: a box of the painter's own tubes in the making, from the card to the box.

PAINTINGS/boxes/NAME/
  start.toml   the box that the card was made for
  card.json    the card's layout, so that nobody has to keep a file
  bench.json   which photos there are, what was mended, the light, what came of it
  photos/      a photo of each page, named by its content
  box.toml     the box, once it is made
"""
