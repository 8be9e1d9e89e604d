"""What the van carries: counted, added by a short form, less by what is installed."""
