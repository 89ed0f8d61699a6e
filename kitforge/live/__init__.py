"""The maker's live page: a server on this machine alone whose page follows the saved kit."""
