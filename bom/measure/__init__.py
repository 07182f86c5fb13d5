"""Where holes and pins lie, worked out from what a bench can measure: spans, drills, marks on a picture. Pure."""
