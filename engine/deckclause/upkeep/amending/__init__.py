"""Writing an amendment from a plain description, carrying one to another edition, trying it out."""
