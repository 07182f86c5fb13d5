"""Tables of a data sheet, from a PDF's page or pasted text, read into a series sheet that a person then checks."""
