"""Pages and labels for people: self-contained HTML and SVG that print at true size."""
