"""The page that follows many units over metered time: upload, progress, the ranked table, one unit in depth."""
