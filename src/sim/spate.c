#include "sim/spate.h"

#include <math.h>
#include <string.h>

#include "base/alloc.h"

#define MOST_PARTS 64
#define STEP_COURANT 1.0           /* of a cell in spate */
#define COST_RATIO 4.0             /* time of a cell in spate and step / of a cell in a part: measured, rounded */
#define KEEPS 1.00001f             /* so that rounding takes no cell below nothing */
#define LEAST_WATER 0.1f           /* of the capacity at the start, so that no cell divides by nothing */

/* Number of cells / room for edges, and for places; when more are in spate there is none. */
#define EDGE_SHARE 1
#define PLACE_SHARE 2

static int32_t room_for_places(size_t n)
{
    return (int32_t)(n / PLACE_SHARE) + 2;
}

thaw_status thaw_spate_create(size_t n, int rows, thaw_spate *out, thaw_error *err)
{
    const size_t places = (size_t)room_for_places(n), ends = (size_t)rows + 2;
    thaw_spate s = {.n_cells = n, .place = thaw_allocate(n, sizeof(int32_t), err), .cell = thaw_allocate(places, sizeof(int32_t), err),
                    .edge = thaw_allocate(n / EDGE_SHARE + 1, sizeof(thaw_spate_edge), err),
                    .amount = thaw_allocate(places, sizeof(double), err),
                    .row_first = thaw_allocate(ends, sizeof(int32_t), err),
                    .link_first = thaw_allocate(ends, sizeof(int32_t), err), .link = thaw_allocate(n, sizeof(int32_t), err)};
    float **by_place[] = {&s.held, &s.least, &s.gain, &s.loss, &s.other, &s.c};
    int fine = s.place && s.cell && s.edge && s.amount && s.row_first && s.link_first && s.link;
    for (size_t f = 0; fine && f < sizeof by_place / sizeof *by_place; f++) {
        fine = (*by_place[f] = thaw_allocate(places, sizeof(float), err)) != NULL;
    }
    if (!fine) {
        thaw_spate_destroy(&s);
        return THAW_ERR_MEMORY;
    }
    *out = s;
    return THAW_OK;
}

void thaw_spate_destroy(thaw_spate *spate)
{
    void *blocks[] = {spate->place, spate->row_first, spate->link, spate->link_first, spate->cell, spate->edge, spate->amount, spate->held, spate->least, spate->gain, spate->loss,
                      spate->other, spate->c};
    for (size_t b = 0; b < sizeof blocks / sizeof *blocks; b++) {
        thaw_release(blocks[b]);
    }
    *spate = (thaw_spate){0};
}

#define MOST_EDGES (6 + THAW_WEB_ROUNDS)

/* An edge as it lies in the web: a and b are cells, b < 0 is the tub; water flows from a to b, or back where negative. */
typedef struct link {
    int32_t a, b;
    float water, spread;
} link;

/* Edges of cell k over the whole step: four in the plane, those from above, one down. */
static int edges_of(const thaw_web *web, const thaw_carry_edges *e, size_t k, link *out)
{
    const size_t nx = (size_t)web->nx;
    const float d = e->diffusivity_m2_s;
    const int32_t here = (int32_t)k, below = web->below ? web->below[k] : -1;
    int n = 0;
    if ((k + 1) % nx) {
        out[n++] = (link){here, here + 1, e->fx[k], d * e->dx[k]};
    }
    if (k % nx) {
        out[n++] = (link){here - 1, here, e->fx[k - 1], d * e->dx[k - 1]};
    }
    if (k + nx < web->n) {
        out[n++] = (link){here, (int32_t)(k + nx), e->fy[k], d * e->dy[k]};
    }
    if (k >= nx) {
        out[n++] = (link){(int32_t)(k - nx), here, e->fy[k - nx], d * e->dy[k - nx]};
    }
    for (int32_t a = web->above_start[k]; a < web->above_start[k + 1]; a++) {
        const int32_t up = web->above[a];
        out[n++] = (link){up, here, e->fl[up], d * e->dl[up]};
    }
    out[n++] = (link){here, below, e->fl[k], below >= 0 ? d * e->dl[k] : 0.0f};
    return n;
}

/* Place of a cell, a new one if it has none; -1 without room. */
static int32_t place_of(thaw_spate *s, int32_t k, int32_t room, const float *net)
{
    if (s->place[k] == 0) {
        if (s->n_places >= room) {
            return -1;
        }
        s->cell[s->n_places] = k;
        s->other[s->n_places] = net[k];
        s->gain[s->n_places] = s->loss[s->n_places] = 0.0f;
        s->place[k] = ++s->n_places;
    }
    return s->place[k] - 1;
}

/* Note an edge between two places. */
static void add_edge(thaw_spate *s, int32_t a, int32_t b, const link *l)
{
    const int32_t from = l->water < 0.0f ? b : a, to = l->water < 0.0f ? a : b;
    const float water = fabsf(l->water);
    s->edge[s->n_edges++] = (thaw_spate_edge){from, to, water, l->spread};
    s->gain[from] -= water;
    s->gain[to] += water;
    s->loss[from] += water + l->spread;
    s->loss[to] += l->spread;
}

/* Each edge of a cell in spate once; returns whether there was room. The tub takes the last place. */
static int list_edges(thaw_spate *s, const thaw_web *web, const thaw_carry_edges *e, const float *net)
{
    const int32_t room = (int32_t)(web->n / EDGE_SHARE), places = room_for_places(web->n) - 1, tub = places;
    link list[MOST_EDGES];
    s->n_edges = 0;
    s->gain[tub] = s->loss[tub] = s->other[tub] = s->c[tub] = 0.0f;
    for (int32_t i = 0; i < s->n; i++) {
        const int32_t k = s->cell[i];
        const int n = edges_of(web, e, (size_t)k, list);
        if (s->n_edges + n > room) {
            return 0;
        }
        for (int j = 0; j < n; j++) {
            const int32_t other = list[j].a == k ? list[j].b : list[j].a;
            const int32_t at = other < 0 ? tub : place_of(s, other, places, net);
            if (at < 0) {
                return 0;
            }
            if (at >= s->n || at > i) { /* else that cell has listed it */
                add_edge(s, list[j].a == k ? i : at, list[j].a == k ? at : i, &list[j]);
            }
        }
    }
    for (int32_t p = 0; p < s->n_places; p++) {
        s->other[p] -= s->gain[p];
    }
    return 1;
}

/* Turn the numbers of each row, one place on, into where each begins. */
static void add_up(int32_t *first, size_t rows)
{
    for (size_t j = 0; j < rows; j++) {
        first[j + 1] += first[j];
    }
}

/* What take_out looks up, by rows. */
static void list_rows(thaw_spate *s, const thaw_web *web)
{
    const size_t nx = (size_t)web->nx, ny = (size_t)web->ny;
    memset(s->row_first, 0, (ny + 2) * sizeof *s->row_first);
    memset(s->link_first, 0, (ny + 2) * sizeof *s->link_first);
    for (int32_t i = 0; i < s->n; i++) {
        const size_t k = (size_t)s->cell[i];
        s->row_first[k / nx + 1]++;
        for (int32_t a = web->above_start[k]; a < web->above_start[k + 1]; a++) {
            s->link_first[(size_t)web->above[a] / nx + 2]++;
        }
    }
    add_up(s->row_first, ny);
    add_up(s->link_first, ny + 1);
    for (int32_t i = 0; i < s->n; i++) {
        const size_t k = (size_t)s->cell[i];
        for (int32_t a = web->above_start[k]; a < web->above_start[k + 1]; a++) {
            s->link[s->link_first[(size_t)web->above[a] / nx + 1]++] = web->above[a];
        }
    }
}

static void forget(thaw_spate *spate)
{
    for (int32_t p = 0; p < spate->n_places; p++) {
        spate->place[spate->cell[p]] = 0;
    }
    spate->n = spate->n_places = spate->n_edges = 0;
}

/* Number of parts with the least work when the cells above their limit go in spate. */
static int best_parts(size_t n, const float *ratio, double worst, double limit, int all)
{
    size_t count[MOST_PARTS + 1] = {0}, above = 0;
    const int most = all < MOST_PARTS ? all : MOST_PARTS;
    const float per = (float)(1.0 / limit);
    for (size_t k = 0; k < n; k++) {
        const float part = ratio[k] * per;
        if (part >= 1.0f) {
            count[part < (float)most ? (int)part : most]++;
        }
    }
    int parts = all;
    double least = (double)all * (double)n;
    for (int p = most; p >= 1; p--) { /* above: cells with a Courant number of at least p limits */
        above += count[p];
        const double cost = p * ((double)n + COST_RATIO * (double)above * ceil(worst / (p * STEP_COURANT)));
        if (p < all && cost < least) {
            least = cost;
            parts = p;
        }
    }
    return parts;
}

int thaw_spate_choose(thaw_spate *spate, const thaw_web *web, const thaw_carry_edges *edges, const float *ratio,
                      const float *net, double worst, double limit)
{
    const int all = 1 + (int)(worst / limit);
    forget(spate);
    const int parts = all == 1 ? 1 : best_parts(web->n, ratio, worst, limit, all);
    if (parts == all) {
        return all;
    }
    const float per = (float)(1.0 / limit), from = (float)parts;
    const int32_t room = room_for_places(web->n) - 1;
    int fits = 1;
    for (size_t k = 0; fits && k < web->n; k++) {
        if (ratio[k] * per >= from) {
            fits = place_of(spate, (int32_t)k, room, net) >= 0;
        }
    }
    spate->n = spate->n_places;
    spate->steps = (int)ceil(worst / (parts * STEP_COURANT));
    if (!fits || !list_edges(spate, web, edges, net)) {
        forget(spate);
        return all;
    }
    list_rows(spate, web);
    return parts;
}

void thaw_spate_take_out(const thaw_spate *spate, const thaw_web *web, size_t j, float *gx, float *gy, float *gl)
{
    const size_t nx = (size_t)web->nx, ny = (size_t)web->ny;
    for (int32_t i = spate->row_first[j]; i < spate->row_first[j + 1]; i++) {
        const size_t k = (size_t)spate->cell[i];
        gx[k] = gy[k] = gl[k] = 0.0f;
        if (k % nx) {
            gx[k - 1] = 0.0f;
        }
    }
    for (int32_t i = spate->row_first[j + 1]; j + 1 < ny && i < spate->row_first[j + 2]; i++) {
        gy[(size_t)spate->cell[i] - nx] = 0.0f;
    }
    for (int32_t i = spate->link_first[j]; i < spate->link_first[j + 1]; i++) {
        gl[spate->link[i]] = 0.0f;
    }
}

/* Concentration of each place that moves in a step; no cell gives more than it has. */
static void set_concentration(thaw_spate *s, float part)
{
    const float *restrict held = s->held, *restrict loss = s->loss;
    const double *restrict amount = s->amount;
    float *restrict c = s->c;
    for (int32_t p = 0; p < s->n_places; p++) {
        const float most = KEEPS * part * loss[p], has = (float)amount[p];
        c[p] = (has > 0.0f ? has : 0.0f) / (held[p] > most ? held[p] : most);
    }
}

/* All edges once. */
static void move(thaw_spate *s, float part)
{
    const thaw_spate_edge *restrict edge = s->edge;
    const float *restrict c = s->c;
    double *restrict amount = s->amount;
    for (int32_t i = 0; i < s->n_edges; i++) {
        const thaw_spate_edge e = edge[i];
        const float here = c[e.from], there = c[e.to];
        const double moved = (double)(part * (e.water * here + e.spread * (here - there)));
        amount[e.from] -= moved;
        amount[e.to] += moved;
    }
}

/* Water goes with it. */
static void follow(thaw_spate *s, float part)
{
    const float *restrict gain = s->gain, *restrict least = s->least;
    float *restrict held = s->held;
    for (int32_t p = 0; p < s->n_places; p++) {
        const float now = held[p] + part * gain[p];
        held[p] = now > least[p] ? now : least[p];
    }
}

/* Copy what the places hold; water of the other edges has come already. */
static void fetch(thaw_spate *s, float share, const float *restrict inverse, const double *restrict mobile)
{
    for (int32_t p = 0; p < s->n_places; p++) {
        const int32_t k = s->cell[p];
        const float capacity = 1.0f / inverse[k], now = capacity + share * s->other[p];
        s->amount[p] = mobile[k];
        s->least[p] = LEAST_WATER * capacity;
        s->held[p] = now > s->least[p] ? now : s->least[p];
    }
}

double thaw_spate_carry(thaw_spate *spate, float share, const float *inverse, double *mobile)
{
    const float part = share / (float)spate->steps;
    double *tub = &spate->amount[room_for_places(spate->n_cells) - 1];
    fetch(spate, share, inverse, mobile);
    *tub = 0.0;
    for (int step = 0; step < spate->steps; step++) {
        set_concentration(spate, part);
        move(spate, part);
        follow(spate, part);
    }
    for (int32_t p = 0; p < spate->n_places; p++) {
        mobile[spate->cell[p]] = spate->amount[p];
    }
    return *tub;
}
