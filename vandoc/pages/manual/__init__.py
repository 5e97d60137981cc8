"""The manual: a judged van to pages in Markdown, drawings and their navigation; nothing here knows MkDocs."""
