/* Search for the lay that meets the wishes best. Several tries, each on its own: pieces are put one by one on the best
 * place that is free, or as in the best of many lays by lot, then moved by simulated annealing (shift, jump to a good place, turn over, change places), never
 * onto each other, and at the end shifted as long as that helps. All chance is f(seed, try, step). */
#include <math.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>

#include "base/alloc.h"
#include "base/crew.h"
#include "base/error.h"
#include "base/random.h"
#include "study/lay_judge.h"
#include "study/lay_shapes.h"

#define TRIES         8
#define GREEDY_TRIES  2            /* they begin with each piece on its best free place; that may leave others none */
#define ROUGH_PLACES  300          /* on a piece, while searching */
#define CANDIDATES    2500         /* places for one piece in one position, about */
#define SCATTERS      500          /* lays by lot in a try */
#define SCATTER_ATTEMPTS 60        /* places tried for a piece */
#define STEPS_BASE    2000
#define STEPS_A_PIECE 1000
#define STEPS_MOST    16000
#define HOT           8.0          /* points of score that are given away as easily as not, first and last */
#define COLD          0.05
#define FAR_M         0.30         /* how far a piece is shifted, first and last */
#define NEAR_M        0.004
#define POLISH_ROUNDS 200
#define FOR_NOTHING   0.3          /* points of score */

typedef struct candidate {
    float score;                   /* sum over its wishes but a match, mean over the outcomes */
    int i, j;
} candidate;

/* Best first; of one piece the two ways up for those not mirrored, then for those mirrored. */
typedef struct candidates {
    int n[THAW_FLIPS];
    candidate *at[THAW_FLIPS];     /* own */
} candidates;

typedef struct search {
    const thaw_lay_task *task;
    const thaw_lay_room *room;
    thaw_lay_shapes shapes;        /* own */
    thaw_judge judge;              /* own */
    candidates places[THAW_MAX_PIECES]; /* own */
    thaw_lay best[TRIES];
    thaw_lay_keep_on keep_on;
    void *user;
    atomic_int n_done;
    atomic_bool stop, starved;
} search;

/* One try. */
typedef struct try_state {
    search *s;
    int number;
    uint64_t n_drawn;
    thaw_lay lay;
    double value;                  /* of the lay: importance times score, all together */
    thaw_seen seen[THAW_MAX_CUTS];
    bool turned_only, straight_only; /* one way: this try lays all turned, or none */
} try_state;

/* ---- candidates ---- */

static int best_first(const void *a, const void *b)
{
    const candidate *x = a, *y = b;
    if (x->score != y->score) {
        return x->score < y->score ? 1 : -1;
    }
    return x->j != y->j ? x->j - y->j : x->i - y->i;
}

static thaw_status list_candidates(search *s, int p, int flip, thaw_error *err)
{
    const int most_i = s->shapes.of[p].most_i, most_j = s->shapes.of[p].most_j;
    const double area = (double)(most_i + 1) * (double)(most_j + 1);
    const int stride = (int)fmax(1.0, floor(sqrt(area / CANDIDATES)));
    const int across = most_i / stride + 1, n = across * (most_j / stride + 1);
    const bool is_turned = flip & 2, is_mirrored = (flip & 1) != (flip >> 1);
    candidate *at = thaw_allocate((size_t)n, sizeof *at, err);
    if (!at) {
        return THAW_ERR_MEMORY;
    }
    const search *const search_of = s;
#pragma omp parallel for schedule(static) default(none) shared(search_of, at, n, across, stride, p, is_turned, is_mirrored)
    for (int k = 0; k < n; k++) {
        thaw_seen seen;
        const thaw_laid laid = {.piece = p, .is_mirrored = is_mirrored, .is_turned = is_turned, .i = k % across * stride,
                                .j = k / across * stride};
        thaw_judge_look(&search_of->judge, &laid, &seen);
        at[k] = (candidate){(float)seen.sum, laid.i, laid.j};
    }
    qsort(at, (size_t)n, sizeof *at, best_first);
    s->places[p].n[flip] = n;
    s->places[p].at[flip] = at;
    return THAW_OK;
}

static thaw_status list_all(search *s, thaw_error *err)
{
    thaw_status status = THAW_OK;
    for (int p = 0; status == THAW_OK && p < s->task->sheet->n; p++) {
        const thaw_pattern_piece *piece = &s->task->sheet->pieces[p];
        for (int mirrored = 0; mirrored <= (piece->is_mirrored ? 1 : 0); mirrored++) {
            for (int turned = 0; turned <= 1 && status == THAW_OK; turned++) {
                if (!turned || piece->may_turn || s->task->one_way) {
                    status = list_candidates(s, p, thaw_flip_of(mirrored, turned), err);
                }
            }
        }
    }
    return status;
}

/* ---- one try ---- */

static void draw(try_state *t, double u[4])
{
    thaw_random_uniform4(t->s->task->seed, THAW_STREAM_LAY + (uint32_t)t->number, t->n_drawn++, u);
}

static bool may_lie(const try_state *t, int k, bool is_turned)
{
    if (t->turned_only || t->straight_only) {
        return is_turned == t->turned_only;
    }
    return !is_turned || t->s->task->sheet->pieces[t->lay.at[k].piece].may_turn;
}

static const candidates *places_of(const try_state *t, int k)
{
    return &t->s->places[t->lay.at[k].piece];
}

/* What a piece may lose: the best place against the middle one; large pieces first where nothing is wished. */
static double urgency(const try_state *t, int k)
{
    const candidates *c = places_of(t, k);
    const int f = thaw_flip_of(t->lay.at[k].is_mirrored, t->turned_only);
    const thaw_pattern_piece *piece = &t->s->task->sheet->pieces[t->lay.at[k].piece];
    const double lost = (double)(c->at[f][0].score - c->at[f][c->n[f] / 2].score) / (piece->n_wishes ? piece->n_wishes : 1);
    const double area = t->s->shapes.of[t->lay.at[k].piece].area_m2 / t->s->room->pieces_m2;
    return t->number % 4 == 0 ? area : t->number % 4 == 1 ? piece->importance * lost + 1e-3 * area : (piece->importance * lost + 5.0) * area;
}

/* On the best free place of either way up. */
static bool put_best(try_state *t, int k)
{
    thaw_laid *laid = &t->lay.at[k];
    double best = -INFINITY;
    for (int turned = 0; turned <= 1; turned++) {
        const int f = thaw_flip_of(laid->is_mirrored, turned);
        const candidates *c = places_of(t, k);
        if (!may_lie(t, k, turned)) {
            continue;
        }
        for (int n = 0; n < c->n[f] && (double)c->at[f][n].score > best; n++) {
            if (thaw_lay_is_free(&t->s->shapes, &t->lay, k, c->at[f][n].i, c->at[f][n].j, turned, false)) {
                best = (double)c->at[f][n].score;
                laid->i = c->at[f][n].i;
                laid->j = c->at[f][n].j;
                laid->is_turned = turned;
                break;
            }
        }
    }
    laid->is_placed = best > -INFINITY;
    return laid->is_placed || thaw_lay_fill_in(&t->s->shapes, &t->lay, k, may_lie(t, k, false), may_lie(t, k, true),
                                               t->s->shapes.of[laid->piece].most_j);
}

/* Of the pieces that lie nowhere yet the one with the largest key. */
static int next_to_place(const try_state *t, const double *key)
{
    int next = -1;
    for (int k = 0; k < t->lay.n; k++) {
        next = !t->lay.at[k].is_placed && (next < 0 || key[k] > key[next]) ? k : next;
    }
    return next;
}

static void value_all(try_state *t)
{
    for (int k = 0; k < t->lay.n; k++) {
        thaw_judge_look(&t->s->judge, &t->lay.at[k], &t->seen[k]);
    }
    t->value = thaw_judge_sum(&t->s->judge, &t->lay, t->seen, NULL);
}

static void put_all(try_state *t)
{
    double key[THAW_MAX_CUTS], u[4];
    bool all = true;
    for (int k = 0; k < t->lay.n; k++) {
        draw(t, u);
        key[k] = urgency(t, k) * (t->number < 4 ? 1.0 : 0.5 + u[0]);
    }
    for (int n = 0; n < t->lay.n && all; n++) {
        const int next = next_to_place(t, key);
        all = put_best(t, next);
    }
    if (!all) { /* too tight for wishes: begin where all fit */
        t->lay = t->s->room->lay;
        t->straight_only = t->straight_only || t->turned_only;
        t->turned_only = false;
    }
    value_all(t);
}

/* Every piece, in an order drawn by lot, on a free place drawn by lot from its better ones; false if one finds none. */
static bool scatter(try_state *t)
{
    double key[THAW_MAX_CUTS], u[4];
    thaw_lay_list(t->s->task->sheet, &t->lay);
    for (int k = 0; k < t->lay.n; k++) {
        draw(t, u);
        key[k] = u[0];
    }
    for (int n = 0; n < t->lay.n; n++) {
        const int next = next_to_place(t, key);
        thaw_laid *laid = &t->lay.at[next];
        for (int attempt = 0; attempt < SCATTER_ATTEMPTS && !laid->is_placed; attempt++) {
            draw(t, u);
            const bool is_turned = t->turned_only || (!t->straight_only && u[0] < 0.5 && may_lie(t, next, true));
            const int f = thaw_flip_of(laid->is_mirrored, is_turned), most = places_of(t, next)->n[f];
            const candidate *c = &places_of(t, next)->at[f][(int)(u[1] * u[1] * most)];
            if (thaw_lay_is_free(&t->s->shapes, &t->lay, next, c->i, c->j, is_turned, false)) {
                laid->i = c->i;
                laid->j = c->j;
                laid->is_turned = is_turned;
                laid->is_placed = true;
            }
        }
        if (!laid->is_placed) {
            return false;
        }
    }
    return true;
}

/* Begin where the best of many lays by lot is, if that is better. */
static void scatter_many(try_state *t)
{
    thaw_lay best = t->lay;
    double most = t->value;
    for (int n = 0; n < SCATTERS && !atomic_load(&t->s->stop); n++) {
        if (scatter(t)) {
            value_all(t);
            if (t->value > most) {
                most = t->value;
                best = t->lay;
            }
        }
    }
    t->lay = best;
    value_all(t);
}

/* Tries the places in `to` for one or two pieces; keeps them if that is accepted. */
static bool move(try_state *t, const int *k, const thaw_laid *to, int n, double accept_below)
{
    thaw_laid kept[2];
    thaw_seen seen[2];
    bool is_free = true;
    for (int q = 0; q < n; q++) {
        kept[q] = t->lay.at[k[q]];
        t->lay.at[k[q]] = to[q];
    }
    for (int q = 0; q < n && is_free; q++) {
        is_free = may_lie(t, k[q], to[q].is_turned) &&
                  thaw_lay_is_free(&t->s->shapes, &t->lay, k[q], to[q].i, to[q].j, to[q].is_turned, false);
    }
    if (is_free) {
        for (int q = 0; q < n; q++) {
            seen[q] = t->seen[k[q]];
            thaw_judge_look(&t->s->judge, &to[q], &t->seen[k[q]]);
        }
        const double value = thaw_judge_sum(&t->s->judge, &t->lay, t->seen, NULL);
        if (value - t->value > accept_below) {
            t->value = value;
            return true;
        }
        for (int q = 0; q < n; q++) {
            t->seen[k[q]] = seen[q];
        }
    }
    for (int q = 0; q < n; q++) {
        t->lay.at[k[q]] = kept[q];
    }
    return false;
}

static int clamp(int value, int most)
{
    return value < 0 ? 0 : value > most ? most : value;
}

static void put_at(const try_state *t, thaw_laid *laid, int i, int j)
{
    laid->i = clamp(i, t->s->shapes.of[laid->piece].most_i);
    laid->j = clamp(j, t->s->shapes.of[laid->piece].most_j);
}

static void step(try_state *t, double share)
{
    double u[4], v[4];
    draw(t, u);
    draw(t, v);
    const double heat = HOT * pow(COLD / HOT, share), reach = FAR_M * pow(NEAR_M / FAR_M, share) / THAW_LAY_STEP_M;
    const double accept = heat * log(v[3]); /* Metropolis: a loss is taken with chance exp(loss / heat) */
    int k[2] = {(int)(u[0] * t->lay.n), (int)(u[1] * t->lay.n)};
    thaw_laid to[2] = {t->lay.at[k[0]], t->lay.at[k[1]]};
    if (u[2] < 0.55) {
        put_at(t, &to[0], to[0].i + (int)lround(reach * (2.0 * v[0] - 1.0)), to[0].j + (int)lround(reach * (2.0 * v[1] - 1.0)));
        move(t, k, to, 1, accept);
    } else if (u[2] < 0.75) {
        to[0].is_turned = t->turned_only || (!t->straight_only && v[1] < 0.5 && may_lie(t, k[0], true));
        const int f = thaw_flip_of(to[0].is_mirrored, to[0].is_turned), n = places_of(t, k[0])->n[f];
        const candidate *c = &places_of(t, k[0])->at[f][(int)(v[0] * v[0] * v[0] * n)];
        put_at(t, &to[0], c->i, c->j);
        move(t, k, to, 1, accept);
    } else if (u[2] < 0.85) {
        to[0].is_turned = !to[0].is_turned;
        move(t, k, to, 1, accept);
    } else if (k[0] != k[1]) { /* middles change places */
        const thaw_lay_shapes *s = &t->s->shapes;
        const int di = (s->of[to[1].piece].nx - s->of[to[0].piece].nx) / 2, dj = (s->of[to[1].piece].ny - s->of[to[0].piece].ny) / 2;
        const int i = to[0].i, j = to[0].j;
        const bool is_turned = to[0].is_turned;
        put_at(t, &to[0], to[1].i + di, to[1].j + dj);
        put_at(t, &to[1], i - di, j - dj);
        if (v[0] < 0.5) {
            to[0].is_turned = to[1].is_turned;
            to[1].is_turned = is_turned;
        }
        move(t, k, to, 2, accept);
    }
}

/* Small shifts that help, as long as there are any. */
static void polish(try_state *t)
{
    static const int reach[] = {16, 4, 1};
    bool moved = true;
    for (int round = 0; moved && round < POLISH_ROUNDS; round++) {
        moved = false;
        for (int n = 0; n < t->lay.n * 15; n++) {
            const int k = n / 15, way = n % 5, far = reach[n / 5 % 3];
            thaw_laid to = t->lay.at[k];
            if (way == 4) {
                to.is_turned = !to.is_turned;
            } else {
                put_at(t, &to, to.i + (way == 0 ? -far : way == 1 ? far : 0), to.j + (way == 2 ? -far : way == 3 ? far : 0));
            }
            moved = move(t, &k, &to, 1, 1e-6) || moved;
        }
    }
}

/* Nobody turns a piece head to foot for nothing. */
static void turn_back(try_state *t)
{
    for (int k = 0; k < t->lay.n; k++) {
        thaw_laid to = t->lay.at[k];
        to.is_turned = false;
        if (t->lay.at[k].is_turned) {
            move(t, &k, &to, 1, -FOR_NOTHING);
        }
    }
}

static void run_try(void *user, int number, bool first)
{
    search *s = user;
    try_state *t = atomic_load(&s->stop) ? NULL : thaw_allocate(1, sizeof *t, NULL);
    if (!t) {
        atomic_store(&s->starved, !atomic_load(&s->stop));
        return;
    }
    t->s = s;
    t->number = number;
    t->turned_only = s->task->one_way && number % 2 == 1;
    t->straight_only = s->task->one_way && number % 2 == 0;
    thaw_lay_list(s->task->sheet, &t->lay);
    put_all(t);
    if (number >= GREEDY_TRIES) {
        scatter_many(t);
    }
    const int wanted = STEPS_BASE + STEPS_A_PIECE * t->lay.n, n = wanted < STEPS_MOST ? wanted : STEPS_MOST;
    for (int i = 0; i < n && !atomic_load(&s->stop); i++) {
        if (first && i % 256 == 0 && s->keep_on &&
            !s->keep_on(s->user, (atomic_load(&s->n_done) + (double)i / n) / TRIES)) {
            atomic_store(&s->stop, true);
        }
        step(t, (double)i / n);
    }
    polish(t);
    turn_back(t);
    s->best[number] = t->lay;
    atomic_fetch_add(&s->n_done, 1);
    thaw_release(t);
}

static void release(search *s)
{
    thaw_lay_shapes_release(&s->shapes);
    thaw_judge_release(&s->judge);
    for (int p = 0; p < THAW_MAX_PIECES; p++) {
        for (int f = 0; f < THAW_FLIPS; f++) {
            thaw_release(s->places[p].at[f]);
        }
    }
}

/* The best of all tries, by the scores that are told. */
static thaw_status choose(search *s, const thaw_views *views, thaw_lay *out, thaw_error *err)
{
    thaw_status status = THAW_OK;
    int best = 0;
    for (int n = 0; status == THAW_OK && n < TRIES; n++) {
        status = thaw_lay_judge(s->task->sheet, views, &s->best[n], err);
        best = status == THAW_OK && s->best[n].total > s->best[best].total ? n : best;
    }
    if (status == THAW_OK) {
        *out = s->best[best];
    }
    return status;
}

thaw_status thaw_lay_find(const thaw_lay_task *task, const thaw_views *views, const thaw_lay_room *room,
                          thaw_lay_keep_on keep_on, void *user, thaw_lay *out, thaw_error *err)
{
    bool wishes = false;
    for (int p = 0; p < task->sheet->n; p++) {
        wishes = wishes || task->sheet->pieces[p].n_wishes > 0;
    }
    thaw_lay lay = room->lay;
    search *s = wishes ? thaw_allocate(1, sizeof *s, err) : NULL;
    thaw_status status = wishes && !s ? THAW_ERR_MEMORY : THAW_OK;
    if (s) {
        s->task = task;
        s->room = room;
        s->keep_on = keep_on;
        s->user = user;
        status = thaw_lay_shapes_make(task, &s->shapes, err);
        if (status == THAW_OK) {
            status = thaw_judge_make(task->sheet, views, ROUGH_PLACES, &s->judge, err);
        }
        if (status == THAW_OK) {
            status = list_all(s, err);
        }
        if (status == THAW_OK) {
            thaw_crew_run(TRIES, run_try, s);
            status = atomic_load(&s->starved) ? thaw_fail(err, THAW_ERR_MEMORY, "not enough memory to lay the pieces")
                     : atomic_load(&s->stop)  ? thaw_fail(err, THAW_ERR_CANCELLED, "stopped")
                                              : choose(s, views, &lay, err);
        }
        release(s);
        thaw_release(s);
    }
    if (status == THAW_OK) {
        status = thaw_lay_check(task, &lay, err);
    }
    if (status == THAW_OK) {
        *out = lay;
    }
    return status;
}
