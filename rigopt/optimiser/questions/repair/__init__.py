"""The cheapest repair of a rig that somebody wired: units stay, cables and settings may go.

Unlike the search for a rig, this numbers units and sockets: they are given and few. One
rule a module, as in the folder above; a container of variables that speaks the trade.
"""
