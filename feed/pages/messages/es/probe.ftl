probe-title = ¿Cuánto se retrasa esta pantalla?
probe-intro = Una pantalla grande muestra su imagen un poco tarde. Aquí la cámara de este teléfono mide cuánto, y el programa que dibuja puede adelantarse lo mismo.
probe-step-card = Muestra la carta de ajuste en la pantalla:
probe-step-aim = Abre la cámara y mantén el código cuadrado de la carta dentro del marco durante diez segundos.
probe-open = Abrir la cámara
probe-progress = Códigos vistos

probe-camera-insecure = La cámara necesita una conexión segura. Abre esta página por la dirección https del servidor, o en la propia máquina del servidor.
probe-camera-unknown = Este navegador no da cámara a las páginas. Abre la página en otro.
probe-camera-refused = No se permitió la cámara. Permítela para esta página en los ajustes del navegador y ábrela de nuevo.
probe-camera-none = No se encontró ninguna cámara en este dispositivo.
probe-camera-busy = No se pudo encender la cámara. Cierra otros programas que la usen y ábrela de nuevo.
probe-camera-gone = La cámara se ha parado. Ábrela de nuevo.

probe-finding-time = Buscando la hora del servidor…
probe-aim = Mantén el código cuadrado dentro del marco. Acércate si se ve pequeño.
probe-strange = Este no es el código de la carta de ajuste.
probe-foreign = La hora de este código no es la de este servidor. ¿Sigue la pantalla a otro?
probe-changed = Otra pantalla u otro ajuste: se empieza de nuevo.
probe-seen = Se ve el código. No te muevas. ({ $codes })
probe-seen-name = Se ve { $name }. No te muevas. ({ $codes })

probe-delay = { $ms } ms ± { $doubt }
probe-ms = { $ms } ms
probe-unknown = no se sabe
probe-not-enough = Aún no es un resultado: { $codes } de { $enough } códigos.
probe-wavers = Aún no es un resultado: la cifra todavía oscila. No te muevas, y acércate si el código se ve pequeño.
probe-early = Los códigos se ven antes de su hora. La hora del servidor no es correcta aquí o en la pantalla; espera un momento o vuelve a cargar la página.
probe-means = más tarde de lo que manda la hora del servidor
probe-means-camera = más tarde de lo que manda la hora del servidor, con el retraso propio de la cámara
probe-means-reference = más tarde que la pantalla rápida
probe-propose = Inicia el programa de esta pantalla con la opción de abajo (medido mientras iba { $now } ms adelantado). Mueve el reloj y todo lo que se desplaza; una repetición no puede mostrarse antes de cantarse.
probe-propose-none = No hay nada que compensar: esta pantalla no necesita --ahead-ms.
probe-propose-most = Esta pantalla se retrasa más de lo que se puede compensar. Con lo máximo posible, el reloj sigue yendo tarde:

probe-tap-title = Del toque de un juez a la pantalla
probe-tap-intro = Toca como lo haría un juez, unas diez veces, con este teléfono donde están los jueces. Un toque pregunta la hora al servidor y no cambia nada.
probe-tap = Tocar
probe-part-way = de este teléfono al servidor
probe-part-tap = de un toque en este teléfono al servidor
probe-part-journal = el registro del servidor
probe-part-wall = dibujo y pantalla
probe-part-wall-camera = dibujo y pantalla, con el retraso de la cámara
probe-part-sum = del toque a la pantalla

probe-doubt-title = Lo que no es seguro
probe-camera-out = Este navegador dice cuándo se tomó cada imagen; el retraso de la cámara, { $ms } ms, no está en la cifra. Sí lo está hasta una exposición.
probe-camera-in = Este navegador no dice cuándo se tomó una imagen. El retraso propio de la cámara, a menudo de 30 a 100 ms, está en la cifra.
probe-reference-intro = Para quitarlo, mide primero una pantalla rápida, como la de un portátil con la carta de ajuste, y guárdala. La pantalla grande se compara después con ella con el mismo teléfono.
probe-reference = Comparado con { $name }: { $ms } ms.
probe-keep = Esta es la pantalla rápida: guardarla
probe-drop = Olvidarla
probe-doubt-rest = El camino del servidor al programa que dibuja no está incluido; por cable es de un milisegundo, más o menos. Tampoco lo que tarda el cristal en notar un dedo.
