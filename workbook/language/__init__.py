"""Every sentence a reader sees, one folder a language."""
