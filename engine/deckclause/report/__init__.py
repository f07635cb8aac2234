"""Reports: terminal, JSON, HTML, documents, drawings."""
