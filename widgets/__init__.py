"""ipywidgets explorers over the workbook."""
