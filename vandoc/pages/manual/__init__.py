"""The manual: Markdown pages, drawings and navigation of an analysed van, independent of MkDocs."""
