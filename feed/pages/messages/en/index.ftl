feed-runs = This feed is running. What it has for you:
health-is = whether it can write its journal
metrics-are = counters for Prometheus
socket-is = the WebSocket, for boards and other programs
announcer-is = the announcer's page: who leads, who is in the last five, who comes next
floor-is = the floor operator's page: what screens show
judge-is = the lane judge's page: counts one lane on a phone
probe-is = how late a wall is, by a phone’s camera
