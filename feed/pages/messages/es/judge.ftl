# La página del juez de carril.
opening = Un momento
opening-says = Entrando en el carril { $lane }. Si tarda, revisa la conexión del teléfono.
menu = Menú
menu-close = Volver
light = Luz de sol
full-screen = Pantalla completa
lane = Carril { $lane }
lane-shadow = Carril { $lane }, contraste
this-device = Este teléfono es { $device }.

join-title = Juzgar un carril
join-scan = Escanea el código del carril con la cámara. O escribe lo que te dé el juez principal:
join-pin = PIN, seis cifras
join-lane = Carril
join-key = Clave de acceso
join-shadow = Soy juez de contraste de este carril: mis avisos se comparan y no cuentan
join-go = Entrar

brief = El trabajo
this-phone = Este teléfono
standard-start = Inicio: { $says }
standard-finish = Final: { $says }
faults = No-rep: { $faults }
fault-partial = { $fault } (solo se repite esa fase)
clicker-try = Pulsa una tecla de tu teclado o pulsador para probarlo.
clicker-fits = { $key } significa: { $call }
clicker-unknown = { $key } no significa nada aquí. Usa espacio o intro para una rep buena.
key-space = Espacio
check-link = Conectado; { $ms } ms ida y vuelta
check-no-link = Sin conexión con el servidor. Se vuelve a intentar sola.
check-awake-on = La pantalla queda encendida.
check-awake-off = La pantalla puede apagarse. Toca la página o quita el bloqueo de pantalla.
check-awake-unable = Esta página no puede mantener la pantalla encendida. Quita el bloqueo de pantalla durante la serie.
check-storage = Los avisos se guardan en este teléfono hasta que el servidor los tiene.
check-waiting =
    { $waiting ->
        [0] Ningún aviso espera.
        [one] Un aviso espera.
       *[other] { $waiting } avisos esperan.
    }
check-insecure = La dirección no es segura (http): la pantalla no se puede mantener encendida, y recargar necesita conexión.
check-refused =
    { $refused ->
        [one] El servidor rechazó un aviso de este teléfono. Díselo al juez principal.
       *[other] El servidor rechazó { $refused } avisos de este teléfono. Díselo al juez principal.
    }
storage-refused = Este navegador no guarda nada. Los avisos se envían igual; no cierres esta página.
storage-full = La memoria de este teléfono está llena. Los avisos se envían igual; no cierres esta página.

count-title = Cuenta
no-rep = No-rep
last-no-rep = La última fue no-rep
undo = Deshacer
seconds-left = { $seconds } s
part-done = Parte hecha
no-fault-named = Sin nombrar la falta
partial = solo se repite esa fase
of = de { $part }
then = luego { $parts }
first = primero { $part }
round = ronda { $round }
until-start = para la salida
own-start = es la salida de este carril
raise = Levanta la mano
to-go = faltan { $left }
when-done = Toca cuando esté hecho
finish-now = Todas las reps hechas
touch-finish = toca en la meta
held = En pausa: el reloj está parado
failed = Nulo
load-same = Igual
load-type = Escribir
load-label = Carga en { $unit }
load-set = Anunciar
load-cancel = Volver
load-bad = Escribe una carga en { $unit }, hasta 1000 kg, como 100 o 42,5.
load-first = Anuncia primero la carga
touch-good = Toca si fue válido
touch-start = Toca cuando empiece a aguantar
touch-stop = Toca cuando termine
hold-target = aguante: inicio o fin
attempt-number = intento { $number }
attempt-number-of = intento { $number } de { $all }
hold-number = aguante { $number }
hold-number-of = aguante { $number } de { $all }
best = mejor { $best }
no-best-load = aún sin intento válido
no-best-hold = aún sin aguante
brief-attempts = { $count ->
    [one] Un intento; la carga se anuncia antes.
   *[other] { $count } intentos; cada carga se anuncia antes.
 }
brief-attempts-open = Tantos intentos como dé el tiempo; cada carga se anuncia antes.
brief-holds = { $count ->
    [one] Un aguante, de inicio a fin.
   *[other] { $count } aguantes; cuenta el más largo.
 }
brief-holds-open = Tantos aguantes como dé el tiempo; cuenta el más largo.

call-good = rep buena
call-no-rep = no-rep
call-last-was-no-rep = la última fue no-rep
call-part-done = parte hecha
call-finish = meta
call-manual-stop = parada a mano
noted = anotado
stop = Parar a mano
stopped = Parado a mano: { $time }
call-undo = deshacer
call-attempt-good = intento válido
call-attempt-failed = intento nulo
call-declare-load = carga
call-hold-start = aguante empezado
call-hold-stop = aguante terminado

held-back = Doble toque: el segundo se retuvo.
link-good = Conectado. El servidor tiene todos los avisos.
no-link = Sin conexión. Se vuelve a intentar sola.
no-link-count = Sin conexión. Sigue contando: los avisos se guardan y se envían después.
no-link-waiting =
    { $waiting ->
        [one] Sin conexión. Sigue contando: un aviso guardado se envía después.
       *[other] Sin conexión. Sigue contando: { $waiting } avisos guardados se envían después.
    }
waiting =
    { $waiting ->
        [one] Un aviso espera al servidor.
       *[other] { $waiting } avisos esperan al servidor.
    }
elsewhere =
    { $waiting ->
        [one] Un aviso de otro carril espera en este teléfono.
       *[other] { $waiting } avisos de otros carriles esperan en este teléfono.
    }
journal-stopped = El servidor no puede escribir su registro. Sigue contando: { $waiting } avisos esperan.
told-not-counted = No cuenta ({ $call }): { $reason }
told-refused = Rechazado: { $reason }
told-full = Esperan demasiados avisos. Este no se tomó. Díselo al juez principal.
told-took-over = Este carril es tuyo ahora.
told-handed-over = Este carril pasó a otro teléfono.
told-wants-load = Anuncia primero la carga del intento y luego júzgalo.

finished = Terminado
time-called = Tiempo
provisional = Resultado
official = Resultado oficial
result-awaited = Esperando el tiempo oficial
initials = Iniciales
initials-says = Atleta y juez están de acuerdo con este resultado:
initials-athlete = Iniciales del atleta
initials-judge = Iniciales del juez
initials-go = Confirmar el resultado
initials-sent = En camino
confirmed = Confirmado con ambas iniciales.

standing-by = En espera
standing-by-says = Otro teléfono cuenta el carril { $lane }. Para relevarlo, dale al juez principal el nombre de este teléfono: { $device }. Lo que espera aquí se sigue enviando.
empty = Nadie en el carril { $lane }
empty-says = En esta serie no hay nadie en este carril. Comprueba el carril con el juez principal.
cancelled = Serie cancelada
cancelled-says = Este intento no puntúa. Espera al juez principal.
replaced = Abierta en otro sitio
replaced-says = Esta página está abierta en otra pestaña o ventana, que cuenta ahora. Cierra esta, o recárgala para contar aquí.

last-calls = Últimos avisos
no-calls = Ningún aviso todavía.
waits = espera
counted = cuenta
hand-over = Pasar el carril
hand-over-to = Nombre del teléfono en espera, como lo muestra
hand-over-go = Pasar
leave = Carril equivocado: dejarlo

why-no-link = El servidor no responde. Revisa la conexión del teléfono.
why-wrong-access-key = Esta clave no abre este carril. Escanea el código otra vez.
why-wrong-pin = Este PIN no es correcto. Pide el PIN del carril al juez principal.
why-unknown-lane = No hay tal carril. Comprueba el número.
why-before-start = Se hizo antes de la salida.
why-after-cap = Se hizo después del final del tiempo.
why-past-end = Todas las reps del recorrido están hechas.
why-during-hold = Se hizo con el reloj parado. El juez principal lo ve.
why-lane-ended = Este carril ha terminado. Pregunta al juez principal.
why-wrong-run = Pertenece a otro intento de la serie.
why-heat-signed = La serie está firmada. Díselo al juez principal.
why-heat-cancelled = El intento se canceló.
why-unknown-fault = El movimiento no tiene esa falta. Avisa el no-rep otra vez.
why-nothing-to-undo = No queda ningún aviso que deshacer. Pregunta al juez principal.
why-undo-too-late = El último aviso tiene más de 5 s. Pregunta al juez principal.
why-call-does-not-fit = No encaja en la parte actual.
why-no-load = El intento no tiene carga. Anúnciala y juzga otra vez.
why-out-of-range = La carga no es nada, o pasa de 1000 kg.
why-no-attempt-left = Todos los intentos de este carril están usados.
why-hold-not-started = No hay ningún aguante en marcha. Pregunta al juez principal.
why-hold-under-way = Ya hay un aguante en marcha. Deténlo primero.
why-handed-over = Otro teléfono tiene este carril ahora.
why-standing-by = Otro teléfono tiene este carril.
why-result-changed = El resultado ha cambiado entretanto. Míralo otra vez.
why-not-standing-by = Ningún teléfono con ese nombre espera en este carril.
