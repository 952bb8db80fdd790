"""Pictures of a plan as SVG: strip, slurry window, depth-volume curve and site section, drawn from the result records only.

Every picture is one self-contained text: generic fonts, no reference outside itself, patterns instead of colour alone.
"""
