"""The electrician's pages."""
