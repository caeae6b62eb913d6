/* The sheet benchmark of docs/performance.md: the product's library against CVODE, an explicit loop and the speed of
 * the memory, at equal error, in one run, back to back.
 *   sheet_bench [--sizes 128,256,512] [--times 5] [--pulses 60] [--error 2e-3] [--explicit-steps 200]
 * Error: relative L1 of fixed dye at 6 h against the same way at a tenth of the tolerance. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#ifdef _OPENMP
#include <omp.h>
#endif

#include "sheet_problem.h"

#define MOST_TIMES 25

typedef int (*way)(const sheet *p, double tolerance, sheet_result *out);

typedef struct options {
    int sizes[8], n_sizes, times, pulses;
    double error;
    long explicit_steps;
} options;

typedef struct spread {
    double least, middle;
} spread;

typedef struct measured {
    double tolerance, error;
    spread cpu_s, wall_s;          /* one thread; two threads */
    sheet_result result;
} measured;

static double now(clockid_t clock)
{
    struct timespec t;
    clock_gettime(clock, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void set_threads(int n)
{
#ifdef _OPENMP
    omp_set_num_threads(n);
#else
    (void)n;
#endif
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static spread spread_of(double *a, int n)
{
    qsort(a, (size_t)n, sizeof *a, by_size);
    return (spread){a[0], n % 2 ? a[n / 2] : 0.5 * (a[n / 2 - 1] + a[n / 2])};
}

static double *fields(size_t n)
{
    double *a = malloc(n * sizeof *a);
    if (!a) {
        fprintf(stderr, "sheet_bench: not enough memory\n");
        exit(1);
    }
    return a;
}

static void run(way go, const sheet *p, double tolerance, sheet_result *out)
{
    if (!go(p, tolerance, out)) {
        fprintf(stderr, "sheet_bench: a run at tolerance %g failed\n", tolerance);
        exit(1);
    }
}

/* Loosest tolerance, in steps of sqrt(10), whose answer is within `error` of that at a tenth of it. Tight answers are
 * computed once: each is the reference of one that is two steps looser. */
static measured find_tolerance(way go, const sheet *p, double from, double error)
{
    enum { MOST = 12 };
    double *answer[MOST];
    measured best = {0};
    for (int i = 0; i < MOST; i++) {
        sheet_result r = {.fixed = answer[i] = fields(p->cells)};
        const double tolerance = from * pow(10.0, -0.5 * i);
        run(go, p, tolerance, &r);
        const double off = i >= 2 ? sheet_difference(p->cells, answer[i - 2], answer[i]) : INFINITY;
        if (off <= error || i + 1 == MOST) {
            best.tolerance = tolerance * 10.0;
            best.error = off;
            for (int k = 0; k <= i; k++) {
                free(answer[k]);
            }
            break;
        }
    }
    return best;
}

static void time_once(way go, const sheet *p, measured *m, int threads, double *seconds)
{
    set_threads(threads);
    const clockid_t clock = threads == 1 ? CLOCK_PROCESS_CPUTIME_ID : CLOCK_MONOTONIC;
    const double t = now(clock);
    run(go, p, m->tolerance, &m->result);
    *seconds = now(clock) - t;
}

/* Both ways in turn, so that what else the machine does falls on both. */
static void time_both(const way go[2], const sheet *p, measured m[2], const options *o)
{
    double cpu[2][MOST_TIMES], wall[2][MOST_TIMES];
    for (int i = 0; i < o->times; i++) {
        for (int threads = 1; threads <= 2; threads++) {
            for (int w = 0; w < 2; w++) {
                time_once(go[w], p, &m[w], threads, threads == 1 ? &cpu[w][i] : &wall[w][i]);
            }
        }
    }
    for (int w = 0; w < 2; w++) {
        m[w].cpu_s = spread_of(cpu[w], o->times);
        m[w].wall_s = spread_of(wall[w], o->times);
    }
}

#define COUNTED 64                 /* cells a side on which all steps are counted */

/* Steps of the explicit loop to the end: counted on few cells, as the square of the number a side. */
static double count_explicit(int n, int pulses)
{
    double share;
    sheet p;
    if (!sheet_create(COUNTED, pulses, &p)) {
        exit(1);
    }
    sheet_result r = {.fixed = fields(p.cells)};
    if (!sheet_by_explicit(&p, 10000000, &share, &r)) {
        exit(1);
    }
    free(r.fixed);
    sheet_destroy(&p);
    return (double)r.steps * n / COUNTED * n / COUNTED;
}

/* CPU seconds of the whole span on one thread: time of a step from the first ones, times their number. */
static double time_explicit(const sheet *p, long most_steps, double *steps)
{
    double share;
    sheet_result r = {.fixed = fields(p->cells)};
    set_threads(1);
    *steps = count_explicit(p->n, p->pulses);
    const double t = now(CLOCK_PROCESS_CPUTIME_ID);
    if (!sheet_by_explicit(p, most_steps, &share, &r)) {
        exit(1);
    }
    const double each = (now(CLOCK_PROCESS_CPUTIME_ID) - t) / (double)r.steps;
    free(r.fixed);
    return each * *steps;
}

/* GB/s of a = b + 3 c on arrays larger than any cache. */
static double memory_speed(int threads, int times)
{
    const size_t n = (size_t)1 << 23;
    double *a = fields(n), *b = fields(n), *c = fields(n), best = 0.0;
    set_threads(threads);
    for (size_t k = 0; k < n; k++) {
        a[k] = 0.0;
        b[k] = 1.0 + (double)(k % 7);
        c[k] = 2.0;
    }
    for (int i = 0; i < times; i++) {
        const double t = now(CLOCK_MONOTONIC);
#pragma omp parallel for schedule(static)
        for (size_t k = 0; k < n; k++) {
            a[k] = b[k] + 3.0 * c[k];
        }
        const double speed = 24.0 * (double)n / (now(CLOCK_MONOTONIC) - t) * 1e-9;
        best = speed > best && a[n / 2] > 0.0 ? speed : best;
    }
    free(a);
    free(b);
    free(c);
    return best;
}

static void print_way(const char *name, const measured *m)
{
    printf("  %-8s tolerance %.1e  error %.1e  cpu %.3f (%.3f)  wall of two %.3f (%.3f)  steps %ld  work %ld  books %.0e %.0e\n", name,
           m->tolerance, m->error, m->cpu_s.middle, m->cpu_s.least, m->wall_s.middle, m->wall_s.least, m->result.steps,
           m->result.work, m->result.water_error, m->result.dye_error);
}

static void one_size(int n, const options *o, double *cells, double cost[2], int *n_cost)
{
    static const way ways[2] = {sheet_by_product, sheet_by_cvode};
    static const double from[2] = {1e-2, 1e-2};
    sheet p;
    measured m[2];
    if (!sheet_create(n, o->pulses, &p)) {
        exit(1);
    }
    set_threads(2);
    for (int w = 0; w < 2; w++) {
        m[w] = find_tolerance(ways[w], &p, from[w], o->error);
        m[w].result = (sheet_result){.fixed = fields(p.cells)};
    }
    time_both(ways, &p, m, o);
    printf("N = %d%s\n", n, o->pulses ? ", pulses" : "");
    print_way("product", &m[0]);
    print_way("cvode", &m[1]);
    double steps;
    const double loop_s = time_explicit(&p, o->explicit_steps, &steps);
    printf("  explicit cpu %.1f for %.0f steps, each as dear as the first %ld\n", loop_s, steps, o->explicit_steps);
    printf("  product / cvode: cpu %.2f (%.2f), wall of two %.2f (%.2f); explicit / product: cpu %.1f\n",
           m[0].cpu_s.middle / m[1].cpu_s.middle, m[0].cpu_s.least / m[1].cpu_s.least, m[0].wall_s.middle / m[1].wall_s.middle,
           m[0].wall_s.least / m[1].wall_s.least, loop_s / m[0].cpu_s.middle);
    if (*n_cost > 0) {
        const double grown = log((double)p.cells / *cells);
        printf("  cpu grows as cells to the power: product %.2f, cvode %.2f\n", log(m[0].cpu_s.least / cost[0]) / grown,
               log(m[1].cpu_s.least / cost[1]) / grown);
    }
    *n_cost += 1;
    *cells = (double)p.cells;
    for (int w = 0; w < 2; w++) {
        cost[w] = m[w].cpu_s.least;
        free(m[w].result.fixed);
    }
    sheet_destroy(&p);
    fflush(stdout);
}

static void read_options(int argc, char **argv, options *o)
{
    for (int a = 1; a + 1 < argc; a += 2) {
        const char *word = argv[a], *value = argv[a + 1];
        if (!strcmp(word, "--sizes")) {
            o->n_sizes = 0;
            for (const char *c = value; c && *c && o->n_sizes < 8; c = strchr(c, ',') ? strchr(c, ',') + 1 : NULL) {
                o->sizes[o->n_sizes++] = atoi(c);
            }
        } else if (!strcmp(word, "--times")) {
            o->times = atoi(value) < 1 ? 1 : atoi(value) > MOST_TIMES ? MOST_TIMES : atoi(value);
        } else if (!strcmp(word, "--pulses")) {
            o->pulses = atoi(value);
        } else if (!strcmp(word, "--error")) {
            o->error = atof(value);
        } else if (!strcmp(word, "--explicit-steps")) {
            o->explicit_steps = atol(value);
        } else {
            fprintf(stderr, "sheet_bench: no option %s\n", word);
            exit(2);
        }
    }
}

int main(int argc, char **argv)
{
    options o = {.sizes = {128, 256, 512}, .n_sizes = 3, .times = 5, .error = 2e-3, .explicit_steps = 200};
    double cells = 0.0, cost[2] = {0.0, 0.0};
    int n_cost = 0;
    read_options(argc, argv, &o);
    setvbuf(stdout, NULL, _IOLBF, BUFSIZ); /* sizes take long: tell each as it is known */
    printf("median (least) of %d, seconds; memory %.1f GB/s on one thread, %.1f on two\n", o.times, memory_speed(1, o.times),
           memory_speed(2, o.times));
    for (int i = 0; i < o.n_sizes; i++) {
        one_size(o.sizes[i], &o, &cells, cost, &n_cost);
    }
    return 0;
}
