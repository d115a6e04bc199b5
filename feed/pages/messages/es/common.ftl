# Palabras que comparten todas las páginas.
link-lost = Sin conexión con el servidor. Se vuelve a intentar sola.
