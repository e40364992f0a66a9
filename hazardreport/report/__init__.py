"""Case, Assessment and addressee to a ReportDocument; pdf/ draws it and decides nothing."""
