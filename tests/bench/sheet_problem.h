/* The sheet benchmark: a square flat cloth with 24 wet spots and one dye, which several ways to compute share.
 *   V ds/dt = div(V D(s) grad s) + q,  D = D1 s^3,  no flux across the rim
 *   d(V m)/dt = - div(w c) + div(V s Dm grad c) - k V m + c_in q,  w = - V D grad s,  c = m / s
 *   dF/dt = k V m
 * on n x n cells; faces take D1 (s_a^4 - s_b^4) / 4, the product's flux potential with lambda = 1, and c of the cell
 * upstream. Water comes for 2 h, evenly or in pulses; the end is at 6 h. All values estimates, chosen for the test. */
#ifndef THAW_BENCH_SHEET_PROBLEM_H
#define THAW_BENCH_SHEET_PROBLEM_H

#include <stddef.h>

#define SHEET_SIDE_M 0.5
#define SHEET_PORES_M 0.42e-3      /* V, m3/m2 */
#define SHEET_D1_M2_S 4.0e-5
#define SHEET_DM_M2_S 5e-10
#define SHEET_FIX_PER_S 2.0e-5     /* k */
#define SHEET_START 0.35           /* s */
#define SHEET_IN_KG_M3 20.0        /* c_in */
#define SHEET_IN_M3 40e-6          /* water in all */
#define SHEET_ON_S 7200.0
#define SHEET_END_S 21600.0

typedef struct sheet {
    int n;
    size_t cells;
    double dx_m;
    int pulses;                    /* 0: water comes evenly */
    double *source_m_s;            /* own, cells: water while it comes evenly */
    double *u, *c;                 /* own, (n + 2)^2: s^4 / 4 and m / s with a rim that repeats the border */
} sheet;

/* Returns 0 if there is no memory. */
int sheet_create(int n, int pulses, sheet *out);
void sheet_destroy(sheet *p);
/* The water's multiple from t_s on, and until when it stays the same. */
double sheet_rate(const sheet *p, double t_s, double *until_s);
/* y = s, m, F of all cells; dy = its rate. */
void sheet_rhs(const sheet *p, double rate, const double *y, double *dy);
/* Fill u and c from y. */
void sheet_potential(const sheet *p, const double *y);
void sheet_repeat_rim(int n, double *a);
/* Sum |a - b| / sum |b|. */
double sheet_difference(size_t n, const double *a, const double *b);

/* What one way came to. */
typedef struct sheet_result {
    double *fixed;                 /* cells, kg/m2; the caller's */
    long steps, work;              /* time steps; right-hand sides, V-cycles or parts, as the way counts them */
    double water_error, dye_error; /* of the books, relative */
} sheet_result;

/* Each runs to the end; tolerance as the way takes it; returns 0 if it failed. */
int sheet_by_product(const sheet *p, double tolerance, sheet_result *out);
int sheet_by_cvode(const sheet *p, double tolerance, sheet_result *out);
/* Stops after most_steps; *share_done is the part of the time that was gone through. */
int sheet_by_explicit(const sheet *p, long most_steps, double *share_done, sheet_result *out);
/* Relative errors of the books at the end for state y. */
void sheet_books(const sheet *p, const double *s, const double *m, const double *fixed, sheet_result *out);

#endif
