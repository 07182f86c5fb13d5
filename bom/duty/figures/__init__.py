"""What was published: rules of thumb, categories, designations, limits, preferred values; each with its source."""
