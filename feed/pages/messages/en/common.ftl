# Words that all pages share.
link-lost = No link to the feed. It is tried again by itself.
