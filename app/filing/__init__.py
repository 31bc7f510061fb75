"""Opening, saving and keeping: nothing typed is lost."""
