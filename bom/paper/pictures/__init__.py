"""Pictures as SVG: true to size or with axes, safe in grey, safe to put into a page."""
