"""Pictures from the data: where things stand, in the units of the drawing. `templates/pictures.html` draws them.

One hand for all: one ink, one soil tone, one weight of line; state is shape and word, never color alone.
"""
