"""The picture of a whole rig: sources, units, cables, clock, computer, and what it plays on.

It is a table of rows. Each host has a section: its units stand beneath one another, the host
beside all of them, and a cable between the two is a level line in a row of its own. So no
two of these can cross, whatever the text in them takes. What joins two other units runs in a
lane at the left (`rails`). Boxes are elements of HTML that grow with their text; nothing
measures letters.
"""
