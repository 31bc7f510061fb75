"""The setup as a document: what it holds, how it is edited, kept, read and written; no Qt here."""
