"""From a photo of dabs to what it shows: each dab's spot, and what is known beside them."""
