"""The rig on one page for a browser and for paper: picture, tables, steps."""
