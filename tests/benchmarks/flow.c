/* The floor of what is possible: the flow line of the benchmark and nothing else, as plainly as C can say it.
   Stations in a row, buffers of the same capacity between them, fixed cutting minutes, a tool change every so many
   parts that needs one of the setters (first come, first served; among equals downstream first).
   usage: flow stations capacity every change_min setters horizon_min < cutting minutes, one per station
   prints: parts shipped, parts worked at all stations, processor seconds */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { MOST = 1024 };
static int n, capacity, every, setters, waiting[MOST], n_waiting;
static double change_min, minutes[MOST], due[MOST], since[MOST], now;
static int stock[MOST], parts[MOST], holds[MOST], changing[MOST], asked;
static long worked, shipped;

static void begin(int i);

/* The machine has a part: change the cutter first if it is due, else cut. */
static void start(int i) {
    holds[i] = 1;
    if (parts[i] >= every) {
        waiting[n_waiting++] = i;
        since[i] = now;
        asked = 1;
    } else {
        due[i] = now + minutes[i];
    }
}

/* Pass the part on if there is room; then take the next one. A machine that waits for a part makes room. */
static int pass(int i) {
    if (i < n - 1) {
        if (!holds[i + 1] && stock[i + 1] == 0) start(i + 1);
        else if (stock[i + 1] < capacity) stock[i + 1]++;
        else return 0;
    } else {
        shipped++;
    }
    holds[i] = 0;
    begin(i);
    return 1;
}

/* Take a part, if there is one; this makes room for a machine upstream that is held up. */
static void begin(int i) {
    if (i == 0) { start(0); return; }
    if (stock[i] > 0) { stock[i]--; start(i); }
    if (holds[i - 1] == 2) pass(i - 1);
}

/* The setters go to the longest waiting; among equals to the one furthest downstream. */
static void give_out_setters(void) {
    asked = 0;
    while (setters > 0 && n_waiting > 0) {
        int best = 0;
        for (int k = 1; k < n_waiting; k++) {
            int a = waiting[k], b = waiting[best];
            if (since[a] < since[b] || (since[a] == since[b] && a > b)) best = k;
        }
        int i = waiting[best];
        waiting[best] = waiting[--n_waiting];
        setters--;
        changing[i] = 1;
        due[i] = now + change_min;
    }
}

static void happen(int i) {
    due[i] = INFINITY;
    if (changing[i]) {
        changing[i] = 0;
        parts[i] = 0;
        setters++;
        asked = 1;
        due[i] = now + minutes[i];
    } else {
        worked++;
        parts[i]++;
        holds[i] = 2;
        pass(i);
    }
}

int main(int argc, char **argv) {
    if (argc != 7) return 2;
    n = atoi(argv[1]), capacity = atoi(argv[2]), every = atoi(argv[3]);
    change_min = atof(argv[4]), setters = atoi(argv[5]);
    double horizon = atof(argv[6]);
    for (int i = 0; i < n; i++) {
        if (scanf("%lf", &minutes[i]) != 1) return 2;
        due[i] = INFINITY;
    }
    clock_t began = clock();
    begin(0);
    for (;;) {
        int first = 0;
        for (int i = 1; i < n; i++)
            if (due[i] <= due[first]) first = i;
        if (asked && due[first] > now) { give_out_setters(); continue; }
        if (due[first] >= horizon) break;
        now = due[first];
        happen(first);
    }
    printf("%ld %ld %.6f\n", shipped, worked, (double)(clock() - began) / CLOCKS_PER_SEC);
    return 0;
}
