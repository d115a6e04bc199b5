# Die Seite der Hauptkampfrichterin oder des Hauptkampfrichters.
title = Hauptkampfgericht · Fivemark

# Die Leiste oben.
steps = Was jetzt getan werden kann
state-alone = { $state } · Bahn { $lane } allein
run = Durchgang { $run }
cap-left = Limit { $cap } · noch { $left }
linked = Mit dem Server verbunden
hold = Anhalten
hold-key = F8
step-on-deck = Bereit
step-start-countdown = Countdown starten
step-recall = Zurückrufen: Fehlstart
step-resume = Fortsetzen
step-call-time = Zeit beenden
step-close = Schließen: vorläufig
step-sign = Bestätigen
step-reopen = Wieder öffnen
step-rerun = Lauf wiederholen
step-rerun-lane = Eine Bahn wiederholen
step-cancel = Durchgang annullieren
step-cancel-alone = Durchgang dieser Bahn annullieren
step-confirm-clock = Uhr bestätigen
step-open-heat = Weiter zu Lauf { NUMBER($heat, useGrouping: 0) }
step-open-heat-other = Zu einem anderen Lauf

# Die zweite Berührung.
ask-yes = Ja: { $step }
ask-no = Nein
ask-lane = Bahn
ask-heat = Lauf
ask-reason = Grund
ask-what-start-countdown = Countdown von { $heat } starten?
ask-what-recall = { $heat } läuft. Zurückrufen? Der Durchgang bleibt im Protokoll und zählt nicht.
ask-what-resume = { $heat } fortsetzen? Zuerst läuft ein Countdown.
ask-what-call-time = Zeit von { $heat } jetzt beenden? Was später getippt wird, zählt nicht.
ask-what-close = { $heat } schließen? Auf Wertungen, die noch fehlen, wird nicht gewartet.
ask-what-sign = { $heat } bestätigen? Die Ergebnisse werden auf allen Anzeigen offiziell.
ask-what-reopen = { $heat } wieder öffnen? Die Ergebnisse sind dann wieder vorläufig.
ask-what-rerun = { $heat } ganz wiederholen? Der bisherige Durchgang bleibt im Protokoll und zählt nicht.
ask-what-rerun-lane = Eine Bahn von { $heat } allein wiederholen? Die Ergebnisse der anderen Bahnen bleiben.
ask-what-cancel = Diesen Durchgang von { $heat } annullieren? Er zählt nicht.
ask-what-cancel-alone = Den Durchgang von Bahn { $lane } annullieren? Ihr früheres Ergebnis gilt dann wieder.
ask-what-confirm-clock = Der Rechner des Servers wurde neu gestartet. Uhr und Zeiten als richtig annehmen?
ask-what-open-heat = Einen anderen Lauf auf die Fläche holen?
ask-what-open-heat-unsigned = { $heat } ist nicht bestätigt. Trotzdem einen anderen Lauf auf die Fläche holen? Sie können zurückkommen.
ask-start-unfit = { $says }. Trotzdem starten?
ask-yes-unfit = Trotzdem starten
reason-wanted = Sagen Sie in wenigen Worten, warum.
reason-long = Das ist zu lang. Sagen Sie es in zwei Sätzen.

# Was Aufmerksamkeit braucht.
attention = Braucht Aufmerksamkeit
attention-journal = Der Server kann sein Protokoll nicht schreiben. Nichts wird bestätigt; die Telefone behalten ihre Wertungen.
attention-clock-doubt = Der Rechner des Servers wurde neu gestartet: Die Uhr ist zweifelhaft, bis Sie sie bestätigen.
attention-judge-off = Kampfgericht ohne Verbindung
attention-review-late = Prüfung überfällig
attention-under-review = Wird geprüft
attention-flagged = Zeiten oder Verbindung zweifelhaft
attention-lane = { $what }: Bahn { $lane }

# Die Bahnen.
aside = Geöffnete Bahn, und was Sie verlangt haben
lanes = Bahnen
column-lane = Bahn
column-athlete = Athlet
column-count = Stand
column-place = Platz
column-part = Abschnitt
column-calls = Letzte Wertungen
column-no-reps = No-Reps
open-lane = Bahn { $lane }, { $name }: öffnen
lane = Bahn { $lane }
lane-name = Bahn { $lane } · { $name }
lane-empty = leer
count-of = { $count } von { $all }
units = { $count ->
    [one] 1 Einheit
   *[other] { $count } Einheiten
 }
part-reps = { $movement } { $count } von { $all }
part-metre = { $movement } { $count } von { $all } m
part-calorie = { $movement } { $count } von { $all } kcal
part-second-held = { $movement } { $count } von { $all } s
part-kilogram = { $movement } { $count } von { $all } kg
part-whole = { $movement } ({ $all })
no-mark = ohne Wertung
declared = { $load } angesagt
holding = hält
tried = { $count } versucht
tried-of = { $count } von { $all } versucht
place-round = Runde { $round }, { $part }
course-end = alles geschafft
to-go = noch { $count }
status-racing = unterwegs
status-finished = im Ziel
status-capped = Zeitlimit
status-did-not-finish = aufgegeben
status-did-not-start = nicht angetreten
status-disqualified = disqualifiziert
status-under-review = wird geprüft
status-reinstated = wieder in Wertung
status-empty = leer
ago-seconds = vor { $count } s
ago-minutes = vor { $count } min
mark-judge-off = ohne Verbindung
mark-flagged = zweifelhaft
mark-ruled = korrigiert
mark-credit = Gutschrift { $time }
mark-start = startet bei { $time }
call-good = { $count ->
    [one] gültig
   *[other] gültig, { $count } zugleich
 }
call-no-rep = No-Rep
call-hold = Halten begonnen
call-back = { $count ->
    [one] zurückgenommen
   *[other] { $count } zurückgenommen
 }
call-ruled = Entscheidung
call-fault = { $call }, { $fault }

# Eine geöffnete Bahn.
close = Schließen
stop-alone = von Hand gestoppt { $time }
stop-beside = von Hand gestoppt { $time } ({ $apart } s)
review-left = Prüfung: noch { $time }
review-late = Prüfung überfällig
judged-by = Kampfgericht { $judge }
last-calls = Letzte Wertungen
no-calls = Keine, seit diese Seite offen ist.
no-reps = { $count ->
    [one] 1 No-Rep
   *[other] { $count } No-Reps
 }
fault-times = { $fault } × { $times }
fault-unnamed = ohne Fehlerangabe

# Eine Entscheidung.
ruling = Entscheidung zu dieser Bahn
field-kind = Entscheidung
kind-add-units = Einheiten hinzufügen oder abziehen
kind-set-count = Stand setzen
kind-from-paper = Von einer Papierkarte weiter
kind-move-finish = Zielzeit ändern
kind-time-penalty = Zeitstrafe
kind-unit-penalty = Strafe in Einheiten
kind-credit = Zeitgutschrift für defektes Gerät
kind-set-best-load = Beste Last setzen
kind-set-held = Haltezeit setzen
kind-status = Status
kind-review = In Prüfung, mit Frist
kind-note-stop = Handstoppzeit notieren
kind-move-athlete = Athlet auf eine leere Bahn versetzen
field-way = Mehr oder weniger
way-more-add-units = Hinzufügen
way-less-add-units = Abziehen
way-more-time-penalty = Strafe
way-less-time-penalty = Zurückgeben
way-more-unit-penalty = Strafe
way-less-unit-penalty = Zurückgeben
way-more-credit = Gutschreiben
way-less-credit = Zurücknehmen
field-units = Einheiten
field-round = Runde
field-part = Abschnitt
field-done = Davon geschafft
field-finish = Zielzeit
field-time = Zeit, in Minuten und Sekunden
field-load = Beste Last, 0 für keine
field-minutes = Zu entscheiden in Minuten
field-status = Status
field-to = Auf Bahn
field-card-athlete = Kürzel, Athlet
field-card-judge = Kürzel, Kampfgericht
card-initials = dann Kürzel { $athlete } / { $judge }
field-reason = Grund
reasons = Gründe zur Auswahl
why-video = im Video nachgezählt
why-miscount = Kampfgericht hat sich verzählt
why-standard = Standard nicht erfüllt
why-equipment = Gerät defekt
why-card = von der Papierkarte
rule = Entscheiden
preview = Bahn { $lane }: { $change }
change-from-to = { $from } → { $to }
change-finish = , im Ziel nach { $time }
change-on-top = Strafen und Gutschriften kommen hinzu
change-penalty = Strafe { $from } → { $to }
change-penalty-to = { $to } mehr Strafe
change-credit = Gutschrift { $from } → { $to }
change-credit-to = { $to } mehr Gutschrift
change-stop = Handstoppzeit { $from } → { $to }
change-stop-to = Handstoppzeit { $to }, neben dem Ziel notiert
change-review = { $from } → { status-under-review }, zu entscheiden in { $minutes } min
problem-no-kind = Wählen Sie eine Entscheidung.
problem-no-units = Geben Sie eine ganze Zahl von Einheiten an, mindestens 1.
problem-beyond-course = So viele Einheiten kann die Bahn nicht haben.
problem-add-reaches-end = Das ist der ganze Kurs. Setzen Sie stattdessen den Stand, mit der Zielzeit.
problem-no-count = Geben Sie an, wie viel dieses Abschnitts geschafft ist, als ganze Zahl darin.
problem-no-finish = Das ist der ganze Kurs. Geben Sie die Zielzeit an, etwa 7:08,4.
problem-no-time = Geben Sie eine Zeit an, etwa 7:08,4, oder 10 für zehn Sekunden.
problem-no-load = Eine Last bis 1000 kg angeben, etwa 142,5, oder 0 für keine.
problem-credit-below-nothing = Es kann nicht mehr zurückgenommen werden, als gutgeschrieben wurde.
problem-no-minutes = Ganze Minuten angeben, 1 bis 1440.
problem-no-status = Wählen Sie einen Status.
problem-same-status = So steht die Bahn schon.
problem-no-lane = Wählen Sie eine leere Bahn.
problem-half-initials = Geben Sie beide Kürzel an oder keines.
problem-no-reason = Eine Entscheidung braucht einen Grund.
problem-reason-long = Der Grund ist zu lang. Sagen Sie es in zwei Sätzen.
none-signed = Der Lauf ist bestätigt. Öffnen Sie ihn wieder, um über diese Bahn zu entscheiden.
none-cancelled = Dieser Durchgang wurde annulliert und zählt nicht; es gibt nichts zu entscheiden.
none-empty = Auf dieser Bahn steht niemand.

# Was verlangt wurde, und was daraus wurde.
answers = Was Sie verlangt haben
no-answers = Noch nichts.
said = { $what } – { $came }
card-initials-refused = Der Stand der Karte ist im Protokoll, und ihre Kürzel wurden abgelehnt. Sie stehen noch da; sehen Sie das Ergebnis an und bestätigen Sie es noch einmal.
card-no-result = Der Stand der Karte ist im Protokoll. Die Bahn hat noch kein Ergebnis, also warten ihre Kürzel: Bestätigen Sie es, wenn sie geendet hat.
came-waiting = wartet auf den Server
came-unsure = unbekannt, ob es ankam, und zu alt, um von selbst gesendet zu werden
came-done = erledigt
send-again = Jetzt senden
leave-it = Lassen
too-many-waiting = Schon zu viel wartet auf den Server. Das wurde nicht gesendet; geben Sie es wieder, wenn die Verbindung da ist.
note = { $before } → { $after }
note-of-other = Bahn { $lane }, entschieden von { $by }
lane-did = Bahn { $lane }: { $what }
did-set-lanes = Bahnen { $lanes } setzen: { $reason }
did-on-deck = Bereit
did-start-countdown = Countdown starten
did-recall = Zurückrufen
did-hold = Anhalten
did-resume = Fortsetzen
did-cancel = Durchgang annullieren
did-call-time = Zeit beenden
did-close = Schließen
did-sign = Bestätigen
did-rerun = Lauf wiederholen: { $reason }
did-rerun-lane = Bahn { $lane } wiederholen: { $reason }
did-reopen = Wieder öffnen: { $reason }
did-confirm-clock = Uhr bestätigen
did-open-heat = Zu Lauf { NUMBER($heat, useGrouping: 0) }
ruled-add-units = { $count ->
    [one] 1 Einheit hinzugefügt
   *[other] { $count } Einheiten hinzugefügt
 }
ruled-add-units-less = { $count ->
    [one] 1 Einheit abgezogen
   *[other] { $count } Einheiten abgezogen
 }
ruled-unit-penalty = { $count ->
    [one] Strafe von 1 Einheit
   *[other] Strafe von { $count } Einheiten
 }
ruled-unit-penalty-less = { $count ->
    [one] 1 Einheit zurückgegeben
   *[other] { $count } Einheiten zurückgegeben
 }
ruled-time-penalty = Strafe von { $time }
ruled-time-penalty-less = { $time } zurückgegeben
ruled-credit = { $time } gutgeschrieben
ruled-credit-less = Gutschrift von { $time } zurückgenommen
ruled-set-count = Stand auf { $count } im Kurs gesetzt
ruled-from-paper = Papierkarte mit { $count } im Kurs
ruled-move-finish = Zielzeit auf { $time } geändert
ruled-set-best-load = beste Last auf { $load } gesetzt
ruled-set-held = Haltezeit auf { $time } gesetzt
ruled-review = in Prüfung, zu entscheiden in { $minutes } min
ruled-note-stop = Handstoppzeit { $time } notiert
ruled-move-athlete = auf Bahn { $to } versetzt

# Warum der Server etwas ablehnte, wo sein eigener Satz in einer anderen Sprache ist.
reason-wrong-role = Dieser Zugangsschlüssel erlaubt das nicht.
reason-unknown-lane = Diese Bahn gibt es nicht, oder niemand steht auf ihr.
reason-unknown-athlete = Diese Startnummer hat niemand im Wettkampf.
reason-stands-twice = Jemand stünde auf zwei Bahnen.
reason-unknown-heat = Diesen Lauf gibt es hier nicht.
reason-heat-signed = Der Lauf ist bestätigt; öffnen Sie ihn zuerst wieder.
reason-heat-cancelled = Dieser Durchgang wurde annulliert und zählt nicht.
reason-not-in-this-state = Das geht in dem Zustand nicht, in dem Lauf oder Bahn sind.
reason-clock-in-doubt = Die Uhr ist zweifelhaft; bestätigen Sie sie zuerst.
reason-out-of-range = Eine Zahl oder der Grund liegt außerhalb des Möglichen.
reason-journal-full = Das Protokoll kann nicht geschrieben werden. Geben Sie es bald noch einmal.
reason-too-large = Die Nachricht ist zu groß.
reason-malformed = Der Server verstand die Nachricht nicht; Seite und Server sind vielleicht verschiedene Versionen.
reason-lane-taken = Die Bahn ist nicht leer.
reason-not-confirmed = Unter einem Ergebnis fehlen Kürzel.
reason-result-changed = Das Ergebnis ist inzwischen ein anderes; sehen Sie es noch einmal an.
reason-not-standing-by = Dieses Telefon steht nicht bereit.
reason-wrong-run = Die Bahn ist inzwischen in einem anderen Durchgang.

# Hinter einer Bahn: Telefone, Kürzel, Protokoll.
phones = Telefone
phone-holds = zählt die Bahn
phone-stands-by = steht bereit
phone-shadow = zweites Kampfgericht
phone-off = ohne Verbindung
phone-charge = { $percent } % geladen
phone-charging = { $percent } %, lädt
phone-waiting = { $count ->
    [one] 1 Wertung wartet
   *[other] { $count } Wertungen warten
 }
phone-clock = Uhr auf { $ms } ms genau
phone-sleeps = Bildschirm kann ausgehen
hand-over = Diesem Telefon die Bahn geben
hand-over-sure = Ja: die Bahn geben
initials = Kürzel
initials-stand = Athlet und Kampfgericht haben dieses Ergebnis bestätigt.
initials-missing = Noch nicht bestätigt. Vom Papier:
initials-athlete = Athlet
initials-judge = Kampfgericht
initials-why = Warum vom Papier
confirm = Dieses Ergebnis bestätigen
record = Protokoll
record-again = Neu zeigen
record-empty = Noch nichts.
record-left-out = { $count ->
    [one] 1 älterer Eintrag fehlt hier.
   *[other] { $count } ältere Einträge fehlen hier.
 }
said-good = { $count ->
    [one] gültig
   *[other] gültig, { $count } Einheiten
 }
said-no-rep = No-Rep
said-last-was-no-rep = letzte war ein No-Rep
said-part-done = Abschnitt geschafft
said-finish = Ziel
said-attempt-good = Versuch gültig
said-attempt-failed = Versuch ungültig
said-hold-start = Halten begonnen
said-hold-stop = Halten beendet
said-declare-load = Last angesagt
said-manual-stop = von Hand gestoppt
said-undo = rückgängig
record-done = { $done } im Kurs
record-attempts = { $done } versucht
record-counted = zählt
record-taken-back = zurückgenommen
record-not-counted = zählt nicht
record-noted = notiert, entscheidet nichts
record-shadow = zweites Kampfgericht
record-ruling = { $by }: { $before } → { $after }
record-initials = Kürzel { $athlete } und { $judge } unter { $result }
record-initials-taken-back = Kürzel { $athlete } und { $judge } unter { $result }, durch eine Änderung hinfällig
record-hand-over = Bahn ging von { $from } an { $to }
doubt-late = kam nach dem Zeitende
doubt-outage = wartete auf die Verbindung
doubt-slept = die Seite schlief
doubt-no-clock = ohne bekannte Uhr
doubt-clamped = Zeit lag außerhalb der Grenzen
did-hand-over = an { $to } gegeben
did-confirm = Kürzel vom Papier
mark-confirmed = Kürzel
attention-stands-by = Ein anderes Telefon steht bereit
attention-phone-low = Akku fast leer
attention-calls-wait = Wertungen warten auf dem Telefon
attention-initials = Kürzel fehlen

# Die Bahnen vor dem Start: ob sie bereit sind, und wer wo steht.
readiness = Vor dem Start: { $says }
ready-all = { $count ->
    [one] die Bahn hat Kampfgericht, geladenes Telefon und gute Verbindung.
   *[other] alle { $count } Bahnen haben Kampfgericht, geladenes Telefon und gute Verbindung.
 }
missing-judge = { $count ->
    [one] Kampfgericht ohne Verbindung: Bahn { $lanes }
   *[other] Kampfgericht ohne Verbindung: Bahnen { $lanes }
 }
missing-charge = { $count ->
    [one] Akku fast leer: Bahn { $lanes }
   *[other] Akkus fast leer: Bahnen { $lanes }
 }
missing-link = { $count ->
    [one] schlechte Verbindung: Bahn { $lanes }
   *[other] schlechte Verbindung: Bahnen { $lanes }
 }
set-lanes = Bahnen setzen
set-lanes-hint = Eine Bahn berühren, dann eine andere: die beiden tauschen.
set-lanes-second = Bahn { $lane } ist gewählt. Die Bahn berühren, mit der sie tauscht, oder sie selbst, um sie zu lassen.
athlete-bib = { $bib } { $name }
lane-changes = ändert sich
scratch = Aus dem Lauf nehmen
put-in = Jemanden auf diese Bahn setzen
find-athlete = Startnummer, Name oder Verein von wem dazukommt
find-none = Niemand gefunden, der dazukommen könnte.
find-more = Es gibt mehr. Mehr Buchstaben tippen.
was-scratched = aus diesem Lauf genommen
set-lanes-changes = Was sich ändert
set-lanes-line = Bahn { $lane }: { $from } → { $to }
set-lanes-out = { $name } wird herausgenommen und gilt als nicht angetreten.
set-lanes-send = Bahnen so setzen
set-lanes-back = Von vorn
set-lanes-nothing = Es ändert sich noch nichts.
set-lanes-lost = Die Bahnen wurden inzwischen anderswo gesetzt. Ansehen und von vorn beginnen.
why-swapped = Bahnen waren vertauscht
why-injured = verletzt
why-absent = nicht an der Fläche
why-substitute = kommt für jemand anderen

# PINs.
papers = Papiere
show-pins = PINs
pins-of = PINs von { $heat }
pins-hint = Das Kampfgericht öffnet { $address } und tippt seine PIN ein. Sie gilt, bis der Lauf bestätigt ist.
pins-none = Der Lauf ist bestätigt; seine PINs öffnen nichts mehr.
pins-wait = Der Server wird gefragt …
pin-lane = Bahn { $lane }
pin-shadow = Bahn { $lane }, zweites Kampfgericht
print = Drucken

# Wie gewertet wird.
show-judges = Wertungen
judges = Wie das Kampfgericht wertet
judges-wait = Der Server wird gefragt …
judges-none = Noch wurde nichts gewertet.
judges-of = { $count ->
    [one] Wertungen aus 1 Lauf; Durchgänge, die nicht zählen, sind ausgelassen.
   *[other] Wertungen aus { $count } Läufen; Durchgänge, die nicht zählen, sind ausgelassen.
 }
judges-left-out = { $count ->
    [one] 1 weitere Quote hat hier keinen Platz.
   *[other] { $count } weitere Quoten haben hier keinen Platz.
 }
judge-initials = Kürzel { $initials }
briefing = Für die nächste Besprechung
briefing-none = Niemand liegt außerhalb des Feldes.
briefing-below = { $judge }, { $movement }: weniger No-Reps als das Feld. { $rate }; Feld { $field }
briefing-above = { $judge }, { $movement }: mehr No-Reps als das Feld. { $rate }; Feld { $field }
briefing-fault-below = { $judge }, { $movement }, „{ $fault }“: seltener genannt als im Feld. { $rate }; Feld { $field }
briefing-fault-above = { $judge }, { $movement }, „{ $fault }“: öfter genannt als im Feld. { $rate }; Feld { $field }
briefing-chance = { $count ->
    [0] Von { $all } Vergleichen liegt kaum einer rein zufällig außerhalb. Auch Athleten sind verschieden: fragen, nicht beschuldigen.
    [1] Von { $all } Vergleichen liegt etwa einer rein zufällig außerhalb. Auch Athleten sind verschieden: fragen, nicht beschuldigen.
   *[other] Von { $all } Vergleichen liegen etwa { $count } rein zufällig außerhalb. Auch Athleten sind verschieden: fragen, nicht beschuldigen.
 }
briefing-alone = Noch hat keine Übung zwei Wertende, also gibt es nichts zu vergleichen.
rates = No-Rep-Quoten
rates-hint = No-Reps unter den Versuchen, und wo der Anteil mit 95 % Sicherheit liegt: der Balken. Der runde Punkt ist der eigene Anteil, der Strich quer das Feld.
rate-field = { $count ->
    [one] Feld: { $figures }, 1 Person, also kein Vergleich
   *[other] Feld: { $figures }, { $count } Personen
 }
rate-figures = { $count } von { $all }: { $share }
rate-interval = { $figures } ({ $low } bis { $high })
rate-fault = { $fault }: { $rate }, Feld { $field }
outside-below = weniger als das Feld
outside-above = mehr als das Feld
agreement = Erstes und zweites Kampfgericht einer Bahn
agreement-none = Noch wurde auf keiner Bahn mitgewertet. Das zweite Kampfgericht kommt mit der zweiten PIN der Bahn herein und zählt sie ebenfalls.
agreement-all = Alle Übungen
agreement-raw = { $count } von { $all } Entscheidungen gleich: { $share } ({ $low } bis { $high })
agreement-kappa = Kappa { $kappa } ({ $low } bis { $high })
agreement-kappa-full = Kappa { $kappa }; volle Übereinstimmung gibt ihm kein Intervall
agreement-no-kappa = Kappa sagt hier nichts: beide haben durchweg dasselbe gesagt.
agreement-parts = { $differ } verschieden gewertet, { $judge } nur vom ersten Kampfgericht der Bahn gewertet, { $shadow } nur vom zweiten
agreement-hint = Eine Entscheidung ist ein Versuch, den wenigstens eines von beiden gewertet hat; zwei Wertungen innerhalb von { $seconds } s können demselben gelten. Kappa zieht ab, was auch zufällig gleich wäre: 1 ist volle Übereinstimmung, 0 ist Zufall. Wo No-Reps selten sind, ist es niedrig, so gut beide auch übereinstimmen.

# Was an einer Bahn auffällt.
flags = Auffällig
attention-too-fast = Wertungen schneller als ein Mensch
attention-late-calls = Wertungen kamen spät
attention-off-line = Telefon lange ohne Verbindung
attention-clock-error = Uhr des Telefons ungenau
mark-too-fast = zu schnell
mark-quiet = seit { $count } s keine Wertung
flag-too-fast = { $count ->
    [one] Um { $clock } kamen zwei Wiederholungen nacheinander schneller, als ein Mensch sie schafft: die letzte nach { $took } s, erwartet sind { $expected } s. Sehen Sie den Stand an.
   *[other] { $count }-mal kamen Wiederholungen nacheinander schneller, als ein Mensch sie schafft: die letzte um { $clock } nach { $took } s, erwartet sind { $expected } s. Sehen Sie den Stand an.
 }
flag-quiet = Seit { $seconds } s keine Wertung; üblich sind auf dieser Bahn { $usual } s. Meist eine Pause.
flag-late-calls = { $count ->
    [one] 1 Wertung kam mehr als 10 s nach ihrer Berührung: nach { $seconds } s.
   *[other] { $count } Wertungen kamen mehr als 10 s nach ihrer Berührung: nach bis zu { $seconds } s.
 }
flag-off-line = Von dem Telefon, das die Bahn hat, kam zuletzt vor { $seconds } s etwas.
flag-clock-error = Die Zeiten der Wertungen können um bis zu { $ms } ms falsch sein.
