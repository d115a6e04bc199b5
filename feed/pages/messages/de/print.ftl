# Papers: what is printed of a heat for its officials, judges and athletes.
title = Papiere · Fivemark
papers = Papiere
paper = Das Papier
what = Papier
heat = Lauf
heat-number = Lauf { NUMBER($heat, useGrouping: 0) }
heat-on-floor = Lauf { NUMBER($heat, useGrouping: 0) }, auf der Fläche
print = Drucken
paper-result = Ergebnisblatt
paper-brief = Einweisung zum Workout
paper-pins = PIN-Karten für die Telefone der Kampfgerichte
paper-cards = Zählkarten
run = Durchgang { $run }

## The result sheet.
sheet-provisional = VORLÄUFIG – { $state }; offiziell erst, wenn bestätigt
sheet-official = OFFIZIELL – bestätigt
column-lane = Bahn
column-bib = Nr.
column-athlete = Athlet
column-division = Klasse
column-result = Ergebnis
column-place = Platz
column-tie-break = Tie-Break
column-penalties = Strafe, Gutschrift
column-initials = Kürzel, Kampfgericht
column-change = Änderung
column-ruling = Entscheidung
column-reason = Grund
column-by = Durch
penalty = + { $time }
credit = Gutschrift { $time }
initials-of = { $athlete } / { $judge }
from-to = { $from } → { $to }
rulings = Entscheidungen
rulings-left-out = { $count ->
    [one] 1 ältere Entscheidung hat hier keinen Platz; sie steht auf der Seite des Hauptkampfrichters.
   *[other] { $count } ältere Entscheidungen haben hier keinen Platz; sie stehen auf der Seite des Hauptkampfrichters.
 }
remarks = Zum ganzen Lauf
not-signed = Dieser Lauf ist nicht bestätigt; das Blatt hat keine Prüfsumme.
signed-by = Bestätigt: { $by }, { $at }, über { NUMBER($entries, useGrouping: 0) } Einträge des Protokolls.
signed-earlier = Frühere Bestätigung: { $by }, { $at }, Prüfsumme { $digest } …
reopened = Wieder geöffnet: { $by }, { $at }: { $reason }
digest = Prüfsumme des bestätigten Protokolls (SHA-256)
verify-how = Wer das Journal hat, kann dieses Blatt daran prüfen:
signature = Hauptkampfrichter
status-racing = kein Ergebnis
status-finished = im Ziel
status-capped = Zeit um
status-did-not-finish = DNF
status-did-not-start = DNS
status-disqualified = DQ
status-under-review = in Prüfung

## PIN cards.
pins-wait = Die PINs werden abgefragt …
pins-other-heat = PINs gibt es nur für den Lauf auf der Fläche. Wähle diesen Lauf.
pins-none = Der Lauf ist bestätigt; seine PINs öffnen nichts mehr.
pins-hint = An den Linien schneiden. Das Kampfgericht scannt den Code oder öffnet die Adresse und tippt die PIN ein. Sie gilt, bis der Lauf bestätigt ist.
pins-loopback = Diese Codes führen nur zu diesem Rechner selbst. Öffne diese Seite unter der Adresse, die Telefone benutzen, und drucke noch einmal.
card-lane = Bahn { $lane }
card-shadow = Bahn { $lane }, zweites Kampfgericht
card-empty = hier steht niemand
judge-name = Kampfgericht { $judge }

## Score cards.
cap = Zeitlimit { $time }
window = Zeitfenster { $time }
starts-at = Start bei { $time }
card-hint = Jede gute Wiederholung abhaken; am Ende jedes Abschnitts die Uhr aufschreiben.
card-five = Fette Kästchen: Hand heben.
round-short = R{ $round }
card-more = Mehr Runden: noch eine Karte nehmen.
column-part = Abschnitt
column-ticks = Gute Wiederholungen
column-clock = Uhr
each-box = ein Kästchen ist { $amount }
count-done = Geschafft:
no-reps = No-Reps:
result-time = Zielzeit:
result-count = Oder geschafft beim Zeitlimit, von { $all }:
result-rounds = Runden + Wiederholungen:
result-load = Beste Last:
result-held = Gehalten:
card-load = Last:
card-good = gültig
card-failed = ungültig
card-hint-tries = Jede Last vor dem Versuch aufschreiben, ankreuzen, was daraus wurde, und die Uhr dazu.
column-tries = Versuch
initials-athlete = Kürzel, Athlet:
initials-judge = Kürzel, Kampfgericht:
initials-judge-of = Kürzel, Kampfgericht { $judge }:

## Amounts.
amount-rep = { $count }
amount-metre = { $count } m
amount-calorie = { $count } cal
amount-second-held = { $count } s
amount-kilogram = { $count } kg

## The brief.
brief-of = Einweisung: { $workout }
brief-work = Arbeit
brief-movements = Bewegungen
brief-signals = Zählen und Zeichen
brief-result = Ergebnis
scored-for-time = Auf Zeit, Zeitlimit { $time }.
scored-amrap = So viele Runden wie möglich in { $time }.
scored-heaviest-lift = Schwerste Last in { $time }.
scored-longest-hold = Längstes Halten in { $time }.
tries-heaviest-lift = { $count ->
    [one] 1 Versuch
   *[other] { $count } Versuche
 }
tries-longest-hold = { $count }-mal
scheme = Wiederholungen je Runde: { $scheme }.
rounds = { $count ->
    [one] 1 Runde.
   *[other] { $count } Runden.
 }
column-all = Alle
buy-in = Buy-in, einmal
cash-out = Cash-out, einmal
tie-break-here = Tie-Break-Zeit an seinem Ende
standard-start = Beginn:
standard-finish = Ende:
no-rep-if = No-Rep:
fault-partial = (teilweise: nur die misslungene Phase noch einmal)
counted-in = Gezählt in Schritten von { $amount }.
count-aloud = Das Kampfgericht zählt jede gute Wiederholung laut und aufwärts.
signal-no-rep = Das Kampfgericht zeigt jeden No-Rep sofort an und sagt, warum; die Wiederholung wird noch einmal gemacht.
partial-rule = Nach einem teilweisen Fehler wird nur die misslungene Phase noch einmal gemacht.
last-five = Für die letzten fünf hebt das Kampfgericht die Hand.
last-five-every-part = Für die letzten fünf jedes Abschnitts hebt das Kampfgericht die Hand.
last-minute = Die letzte Minute steht auf der Tafel; das Kampfgericht zählt weiter bis zum Ende des Zeitfensters.
finish-call = Die Zeit hält beim Zielruf, über der Linie oder auf der Matte, nicht bei der letzten Wiederholung.
capped-work-done = Beim Zeitlimit ist das Ergebnis die geschaffte Arbeit, etwa 87 von 90.
capped-work-left = Beim Zeitlimit ist das Ergebnis die fehlende Arbeit, etwa cap + 3.
capped-cap-plus-penalty = Beim Zeitlimit ist das Ergebnis das Zeitlimit und { $penalty } für jede fehlende Einheit.
result-amrap-rounds = Das Ergebnis sind ganze Runden und die Wiederholungen der angefangenen, etwa 5 + 12.
result-amrap-total = Das Ergebnis sind alle Wiederholungen zusammen.
result-heaviest-lift = Das Ergebnis ist die schwerste Last eines gültigen Versuchs; jede Last wird vor ihrem Versuch angesagt.
result-longest-hold = Das Ergebnis ist das längste Halten, vom Beginn bis zum Ende, wie sie der Kampfrichter ansagt; wer noch hält, hört mit dem Zeitfenster auf.
signals-heaviest-lift = Nach jedem Versuch sagt der Kampfrichter, ob er gültig war, und sonst, warum nicht.
signals-longest-hold = Der Kampfrichter sagt, wann das Halten beginnt und wann es endet.
tie-break-rule = Gleiche Arbeit trennt die Tie-Break-Zeit: Die frühere ist besser, eine fehlende kommt zuletzt.
tie-break-none = Gleiche Ergebnisse teilen den Platz, und der nächste Platz fällt aus.
cap-on-heat = Das Zeitlimit beendet den Lauf für alle zugleich, wann immer eine Bahn begann.
first-to-finish = Wer zuerst über der Linie ist, ist Erster, wann immer eine Bahn begann.
times-up = Offizielle Zeiten in Schritten von { $unit } s, auf die nächstlängere.
times-down = Offizielle Zeiten in Schritten von { $unit } s, der Rest fällt weg.
penalties = Nur der Hauptkampfrichter gibt Strafen, in Zeit oder Einheiten, jede mit ihrem Grund.
penalties-units = Nur der Hauptkampfrichter gibt Strafen, in Einheiten, jede mit ihrem Grund.
confirm-initials = Athlet und Kampfgericht bestätigen das Ergebnis mit ihren Kürzeln; die Bestätigung des Hauptkampfrichters macht es offiziell.
confirm-signed = Die Bestätigung des Hauptkampfrichters macht das Ergebnis offiziell.
brief-safety = Sicherheit: Sanitäter und Personal halten einen Lauf jederzeit mit Stimme und Zeichen an; örtliche Regeln gelten. Die Tafel ist Auskunft und keine Sicherheitseinrichtung.
