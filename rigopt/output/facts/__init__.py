"""What text, JSON and pages all tell, worked out once: no sentence and no format.

It imports answers, the rig and what stands below these, and nothing of the other folders of
`output/`.
"""
