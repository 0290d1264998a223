/* The floor of what is possible: the flow line of the benchmark and nothing else, as plainly as C can say it.
   Stations in a row, buffers of the same capacity between them, fixed cutting minutes, a tool change every so many
   parts that needs one of the setters (first come, first served; among equals downstream first).
   With -DACCOUNTS it also keeps of it what every run of the engine keeps: what each machine did for how long, what stood
   in each buffer, how long and for how many that was a wait, the wear of each edge, and when each part came.
   usage: flow stations capacity every change_min setters horizon_min < cutting minutes, one per station
   prints: parts shipped, parts worked at all stations, processor seconds; with accounts also minutes of cutting and of
   being held up at all machines, part minutes in all buffers, parts that had to wait, minutes from coming to leaving */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { MOST = 1024, PLACES = 64 };
static int n, capacity, every, setters, waiting[MOST], n_waiting;
static double change_min, minutes[MOST], due[MOST], since[MOST], now;
static int stock[MOST], parts[MOST], holds[MOST], changing[MOST], asked;
static long worked, shipped;

static void begin(int i);

/* --- accounts: nothing of it changes what happens ----------------------------------------------------------------- */

enum { IDLE, CUTTING, HELD_UP, WAITING_FOR_SETTER, CHANGING, STATES };
#ifdef ACCOUNTS
static double state_min[MOST][STATES], state_since[MOST], stock_min[MOST], stock_since[MOST], waited_min[MOST];
static double cut_min[MOST], life_share[MOST], lead_min, lead_square_min2;
static int state[MOST], most[MOST], edge_parts[MOST];
static long served[MOST], had_to_wait[MOST];
static struct part { double came, stood; } at_hand[MOST], standing[MOST][PLACES];
static int first[MOST];
static const double LIFE_MIN = 1e6;

static void enter(int i, int to) {
    double passed = now - state_since[i];
    if (passed > 0) { state_min[i][state[i]] += passed; state_since[i] = now; }
    state[i] = to;
}

static void count_stock(int i) {
    double passed = now - stock_since[i];
    if (passed > 0) {
        stock_min[i] += stock[i] * passed;
        if (stock[i] > most[i]) most[i] = stock[i];
        stock_since[i] = now;
    }
}

static void stand(int i) {
    count_stock(i);
    struct part *p = &standing[i][(first[i] + stock[i]) % PLACES];
    *p = at_hand[i - 1];
    p->stood = now;
}

static void take(int i) {
    count_stock(i);
    at_hand[i] = standing[i][first[i]];
    first[i] = (first[i] + 1) % PLACES;
    served[i]++;
    if (now > at_hand[i].stood) { had_to_wait[i]++; waited_min[i] += now - at_hand[i].stood; }
}

static void hand(int i) { count_stock(i); at_hand[i] = at_hand[i - 1]; served[i]++; }

static void come(void) { at_hand[0].came = now; served[0]++; }

static void leave(int i) { double lead = now - at_hand[i].came; lead_min += lead; lead_square_min2 += lead * lead; }

static void wear(int i) { cut_min[i] += minutes[i]; life_share[i] += minutes[i] / LIFE_MIN; edge_parts[i]++; }

static void put_in(int i) { life_share[i] = cut_min[i] = 0; edge_parts[i] = 0; }

static void tell(double horizon) {
    double cutting = 0, held_up = 0, stood = 0;
    long waits = 0;
    now = horizon;
    for (int i = 0; i < n; i++) {
        enter(i, state[i]);
        count_stock(i);
        cutting += state_min[i][CUTTING], held_up += state_min[i][HELD_UP], stood += stock_min[i], waits += had_to_wait[i];
    }
    printf("%.12g %.12g %.12g %ld %.12g\n", cutting, held_up, stood, waits, lead_min);
}
#else
#define enter(i, to) ((void)0)
#define stand(i) ((void)0)
#define take(i) ((void)0)
#define hand(i) ((void)0)
#define come() ((void)0)
#define leave(i) ((void)0)
#define wear(i) ((void)0)
#define put_in(i) ((void)0)
#define tell(horizon) ((void)0)
#endif

/* --- what happens --------------------------------------------------------------------------------------------------- */

/* The machine has a part: change the cutter first if it is due, else cut. */
static void start(int i) {
    holds[i] = 1;
    if (parts[i] >= every) {
        enter(i, WAITING_FOR_SETTER);
        waiting[n_waiting++] = i;
        since[i] = now;
        asked = 1;
    } else {
        enter(i, CUTTING);
        due[i] = now + minutes[i];
    }
}

/* Pass the part on if there is room; then take the next one. A machine that waits for a part makes room. */
static int pass(int i) {
    if (i < n - 1) {
        if (!holds[i + 1] && stock[i + 1] == 0) { hand(i + 1); start(i + 1); }
        else if (stock[i + 1] < capacity) { stand(i + 1); stock[i + 1]++; }
        else { enter(i, HELD_UP); return 0; }
    } else {
        leave(i);
        shipped++;
    }
    holds[i] = 0;
    enter(i, IDLE);
    begin(i);
    return 1;
}

/* Take a part, if there is one; this makes room for a machine upstream that is held up. */
static void begin(int i) {
    if (i == 0) { come(); start(0); return; }
    if (stock[i] > 0) { take(i); stock[i]--; start(i); }
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
        enter(i, CHANGING);
        due[i] = now + change_min;
    }
}

static void happen(int i) {
    due[i] = INFINITY;
    if (changing[i]) {
        changing[i] = 0;
        parts[i] = 0;
        put_in(i);
        setters++;
        asked = 1;
        enter(i, CUTTING);
        due[i] = now + minutes[i];
    } else {
        worked++;
        parts[i]++;
        wear(i);
        holds[i] = 2;
        pass(i);
    }
}

int main(int argc, char **argv) {
    if (argc != 7) return 2;
    n = atoi(argv[1]), capacity = atoi(argv[2]), every = atoi(argv[3]);
    change_min = atof(argv[4]), setters = atoi(argv[5]);
    double horizon = atof(argv[6]);
    if (n > MOST || capacity >= PLACES) return 2;
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
    tell(horizon);
    return 0;
}
