"""Readers of rigs that people wire by hand: two forms of file, one draft, one rig."""
