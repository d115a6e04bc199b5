# Die Seite der Bahnrichter.
opening = Einen Augenblick
opening-says = Bahn { $lane } wird geöffnet. Dauert es lange, die Funkverbindung des Telefons prüfen.
menu = Menü
menu-close = Zurück
light = Sonnenlicht
full-screen = Vollbild
lane = Bahn { $lane }
lane-shadow = Bahn { $lane }, zum Vergleich
this-device = Dieses Telefon heißt { $device }.

join-title = Eine Bahn richten
join-scan = Den Code der Bahn mit der Kamera scannen. Oder eingeben, was der Hauptkampfrichter nennt:
join-pin = PIN, sechs Ziffern
join-lane = Bahn
join-key = Zugangsschlüssel
join-shadow = Ich richte diese Bahn zum Vergleich: meine Ansagen zählen nicht
join-go = Öffnen

brief = Die Arbeit
this-phone = Dieses Telefon
standard-start = Anfang: { $says }
standard-finish = Ende: { $says }
faults = No-Rep: { $faults }
fault-partial = { $fault } (nur diese Stufe noch einmal)
clicker-try = Zum Prüfen eine Taste der Tastatur oder des Klickers drücken.
clicker-fits = { $key } bedeutet: { $call }
clicker-unknown = { $key } bedeutet hier nichts. Leertaste oder Eingabe zählen eine gute Wiederholung.
key-space = Leertaste
check-link = Verbunden; { $ms } ms hin und zurück
check-no-link = Keine Verbindung zum Server. Sie wird von selbst wieder versucht.
check-awake-on = Der Bildschirm bleibt an.
check-awake-off = Der Bildschirm kann dunkel werden. Die Seite berühren oder die Bildschirmsperre ausschalten.
check-awake-unable = Diese Seite kann den Bildschirm nicht anlassen. Für den Lauf die Bildschirmsperre ausschalten.
check-storage = Ansagen bleiben auf diesem Telefon, bis der Server sie hat.
check-waiting =
    { $waiting ->
        [0] Keine Ansage wartet.
        [one] Eine Ansage wartet.
       *[other] { $waiting } Ansagen warten.
    }
check-insecure = Die Adresse ist nicht gesichert (http): Der Bildschirm kann nicht angelassen werden, und Neuladen braucht die Verbindung.
check-refused =
    { $refused ->
        [one] Der Server hat eine Ansage dieses Telefons abgelehnt. Dem Hauptkampfrichter melden.
       *[other] Der Server hat { $refused } Ansagen dieses Telefons abgelehnt. Dem Hauptkampfrichter melden.
    }
storage-refused = Dieser Browser behält nichts. Ansagen werden trotzdem gesendet; diese Seite nicht schließen.
storage-full = Der Speicher dieses Telefons ist voll. Ansagen werden trotzdem gesendet; diese Seite nicht schließen.

count-title = Zählen
no-rep = No-Rep
last-no-rep = Die letzte war ein No-Rep
undo = Zurück
seconds-left = { $seconds } s
part-done = Teil fertig
no-fault-named = Kein Fehler genannt
partial = nur diese Stufe noch einmal
of = von { $part }
then = dann { $parts }
first = zuerst { $part }
round = Runde { $round }
until-start = bis zum Start
own-start = startet diese Bahn
raise = Hand heben
to-go = noch { $left }
when-done = Berühren, wenn es geschafft ist
finish-now = Alle Wiederholungen fertig
touch-finish = im Ziel berühren
held = Angehalten: die Uhr steht
failed = Ungültig
load-same = Gleich
load-type = Tippen
load-label = Last in { $unit }
load-set = Ansagen
load-cancel = Zurück
load-bad = Eine Last in { $unit } eingeben, höchstens 1000 kg, etwa 100 oder 42,5.
load-first = Erst die Last ansagen
touch-good = Berühren, wenn er gültig war
touch-start = Berühren, wenn das Halten beginnt
touch-stop = Berühren, wenn es endet
hold-target = Halten: Beginn oder Ende
attempt-number = Versuch { $number }
attempt-number-of = Versuch { $number } von { $all }
hold-number = Halten { $number }
hold-number-of = Halten { $number } von { $all }
best = bisher { $best }
no-best-load = noch kein gültiger Versuch
no-best-hold = noch nicht gehalten
brief-attempts = { $count ->
    [one] Ein Versuch; die Last wird vorher angesagt.
   *[other] { $count } Versuche; jede Last wird vorher angesagt.
 }
brief-attempts-open = So viele Versuche, wie Zeit ist; jede Last wird vorher angesagt.
brief-holds = { $count ->
    [one] Einmal halten, von Beginn bis Ende.
   *[other] { $count }-mal halten; das längste zählt.
 }
brief-holds-open = So oft halten, wie Zeit ist; das längste zählt.

call-good = gute Wiederholung
call-no-rep = No-Rep
call-last-was-no-rep = die letzte war ein No-Rep
call-part-done = Teil fertig
call-finish = Ziel
call-manual-stop = von Hand gestoppt
noted = notiert
stop = Zeit von Hand stoppen
stopped = Von Hand gestoppt: { $time }
call-undo = zurückgenommen
call-attempt-good = gültiger Versuch
call-attempt-failed = ungültiger Versuch
call-declare-load = Last
call-hold-start = Halten begonnen
call-hold-stop = Halten beendet

held-back = Doppelt getippt: das zweite Mal wurde zurückgehalten.
link-good = Verbunden. Der Server hat alle Ansagen.
no-link = Keine Verbindung. Sie wird von selbst wieder versucht.
no-link-count = Keine Verbindung. Weiterzählen: Ansagen werden behalten und später gesendet.
no-link-waiting =
    { $waiting ->
        [one] Keine Verbindung. Weiterzählen: eine Ansage wird später gesendet.
       *[other] Keine Verbindung. Weiterzählen: { $waiting } Ansagen werden später gesendet.
    }
waiting =
    { $waiting ->
        [one] Eine Ansage wartet auf den Server.
       *[other] { $waiting } Ansagen warten auf den Server.
    }
elsewhere =
    { $waiting ->
        [one] Eine Ansage für eine andere Bahn wartet auf diesem Telefon.
       *[other] { $waiting } Ansagen für andere Bahnen warten auf diesem Telefon.
    }
journal-stopped = Der Server kann sein Journal nicht schreiben. Weiterzählen: { $waiting } Ansagen warten.
told-not-counted = Zählt nicht ({ $call }): { $reason }
told-refused = Abgelehnt: { $reason }
told-full = Zu viele Ansagen warten. Diese wurde nicht angenommen. Dem Hauptkampfrichter melden.
told-took-over = Diese Bahn gehört jetzt diesem Telefon.
told-handed-over = Diese Bahn ging an ein anderes Telefon.
told-wants-load = Erst die Last des Versuchs ansagen, dann werten.

finished = Fertig
time-called = Zeit
provisional = Ergebnis
official = Offizielles Ergebnis
result-awaited = Die offizielle Zeit kommt gleich
initials = Kürzel
initials-says = Beide sind mit diesem Ergebnis einverstanden:
initials-athlete = Kürzel: Athletin oder Athlet
initials-judge = Kürzel: Bahnrichterin oder Bahnrichter
initials-go = Ergebnis bestätigen
initials-sent = Unterwegs
confirmed = Mit beiden Kürzeln bestätigt.

standing-by = In Bereitschaft
standing-by-says = Ein anderes Telefon zählt Bahn { $lane }. Zum Übernehmen dem Hauptkampfrichter den Namen dieses Telefons nennen: { $device }. Was hier wartet, wird noch gesendet.
empty = Niemand auf Bahn { $lane }
empty-says = In diesem Lauf steht niemand auf dieser Bahn. Die Bahn erfragen.
cancelled = Lauf abgebrochen
cancelled-says = Dieser Durchgang zählt nicht. Auf den Hauptkampfrichter warten.
replaced = Anderswo offen
replaced-says = Diese Seite ist in einem anderen Tab oder Fenster offen, das jetzt zählt. Diese schließen, oder neu laden, um hier zu zählen.

last-calls = Letzte Ansagen
no-calls = Noch keine Ansage.
waits = wartet
counted = zählt
hand-over = Die Bahn übergeben
hand-over-to = Name des Telefons in Bereitschaft, wie es ihn zeigt
hand-over-go = Übergeben
leave = Falsche Bahn: verlassen

why-no-link = Der Server antwortet nicht. Die Funkverbindung des Telefons prüfen.
why-wrong-access-key = Dieser Zugangsschlüssel öffnet diese Bahn nicht. Den Code noch einmal scannen.
why-wrong-pin = Diese PIN stimmt nicht. Die PIN der Bahn erfragen.
why-unknown-lane = Diese Bahn gibt es nicht. Die Nummer prüfen.
why-before-start = Sie kam vor dem Start.
why-after-cap = Sie kam nach dem Ende der Zeit.
why-past-end = Alle Wiederholungen sind fertig.
why-during-hold = Sie kam, während die Uhr stand. Der Hauptkampfrichter sieht sie.
why-lane-ended = Diese Bahn ist fertig. Nachfragen.
why-wrong-run = Sie gehört zu einem anderen Durchgang.
why-heat-signed = Der Lauf ist unterschrieben. Melden.
why-heat-cancelled = Der Durchgang wurde abgebrochen.
why-unknown-fault = Die Übung hat diesen Fehler nicht. Den No-Rep noch einmal ansagen.
why-nothing-to-undo = Keine Ansage ist mehr zurückzunehmen. Nachfragen.
why-undo-too-late = Die letzte Ansage ist älter als 5 s. Nachfragen.
why-call-does-not-fit = Sie passt nicht zum jetzigen Teil.
why-no-load = Der Versuch hat keine Last. Ansagen und neu werten.
why-out-of-range = Die Last ist nichts oder mehr als 1000 kg.
why-no-attempt-left = Alle Versuche dieser Bahn sind verbraucht.
why-hold-not-started = Es wird nicht gehalten. Den Hauptkampfrichter fragen.
why-hold-under-way = Es wird schon gehalten. Erst beenden.
why-handed-over = Ein anderes Telefon hat jetzt diese Bahn.
why-standing-by = Ein anderes Telefon hat diese Bahn.
why-result-changed = Das Ergebnis ist inzwischen ein anderes. Noch einmal ansehen.
why-not-standing-by = Kein Telefon dieses Namens steht auf dieser Bahn in Bereitschaft.
