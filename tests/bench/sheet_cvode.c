/* The sheet by SUNDIALS CVODE: BDF, GMRES, the preconditioner of sheet_multigrid.h; begun anew at each switch of the
 * source, where the right-hand side jumps. */
#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_spgmr.h>

#include <string.h>

#include "sheet_multigrid.h"
#include "sheet_problem.h"
#include "sheet_vector.h"

/* Scales below which errors count as absolute, of s, m and F: chosen from a few tried. */
#define SCALE_S 0.1
#define SCALE_M 1.0
#define SCALE_F 1e-3
#define MOST_STEPS 1000000

typedef struct rival {
    const sheet *p;
    double rate;
    sheet_multigrid mg;
} rival;

static int rhs(realtype t, N_Vector y, N_Vector dy, void *user)
{
    const rival *r = user;
    (void)t;
    sheet_rhs(r->p, r->rate, NV_DATA_S(y), NV_DATA_S(dy));
    return 0;
}

static int set_up(realtype t, N_Vector y, N_Vector fy, booleantype jok, booleantype *current, realtype gamma, void *user)
{
    rival *r = user;
    (void)t;
    (void)fy;
    (void)jok;
    sheet_multigrid_set(&r->mg, r->p, NV_DATA_S(y), gamma);
    *current = SUNTRUE;
    return 0;
}

static int solve(realtype t, N_Vector y, N_Vector fy, N_Vector b, N_Vector z, realtype gamma, realtype delta, int side, void *user)
{
    rival *r = user;
    (void)t;
    (void)y;
    (void)fy;
    (void)gamma;
    (void)delta;
    (void)side;
    sheet_multigrid_solve(&r->mg, r->p, NV_DATA_S(b), NV_DATA_S(z));
    return 0;
}

typedef struct tools {
    SUNContext context;
    N_Vector y, scale;
    SUNLinearSolver linear;
    void *cvode;
} tools;

static int set_start(tools *k, const sheet *p, double tolerance)
{
    const size_t n = p->cells;
    double *y = NV_DATA_S(k->y), *scale = NV_DATA_S(k->scale);
    for (size_t i = 0; i < 3 * n; i++) {
        y[i] = i < n ? SHEET_START : 0.0;
        scale[i] = tolerance * (i < n ? SCALE_S : i < 2 * n ? SCALE_M : SCALE_F);
    }
    return 1;
}

static int open_tools(tools *k, rival *r, double tolerance)
{
    const sunindextype n = (sunindextype)(3 * r->p->cells);
    if (SUNContext_Create(NULL, &k->context) || !(k->y = N_VNew_Serial(n, k->context))) {
        return 0;
    }
    sheet_vector_kernels(k->y);
    k->scale = N_VClone(k->y);
    k->linear = SUNLinSol_SPGMR(k->y, SUN_PREC_LEFT, 0, k->context);
    k->cvode = CVodeCreate(CV_BDF, k->context);
    return k->scale && k->linear && k->cvode && set_start(k, r->p, tolerance) && !CVodeInit(k->cvode, rhs, 0.0, k->y) &&
           !CVodeSVtolerances(k->cvode, tolerance, k->scale) && !CVodeSetUserData(k->cvode, r) &&
           !CVodeSetLinearSolver(k->cvode, k->linear, NULL) && !CVodeSetPreconditioner(k->cvode, set_up, solve) &&
           !CVodeSetMaxNumSteps(k->cvode, MOST_STEPS);
}

static void close_tools(tools *k)
{
    CVodeFree(&k->cvode);
    if (k->linear) {
        SUNLinSolFree(k->linear);
    }
    if (k->y) {
        N_VDestroy(k->y);
    }
    if (k->scale) {
        N_VDestroy(k->scale);
    }
    SUNContext_Free(&k->context);
}

static void count(const tools *k, sheet_result *out)
{
    long steps = 0, evaluations = 0, for_products = 0;
    CVodeGetNumSteps(k->cvode, &steps);
    CVodeGetNumRhsEvals(k->cvode, &evaluations);
    CVodeGetNumLinRhsEvals(k->cvode, &for_products);
    out->steps += steps;
    out->work += evaluations + for_products;
}

int sheet_by_cvode(const sheet *p, double tolerance, sheet_result *out)
{
    rival r = {.p = p};
    tools k = {0};
    double t = 0.0, until;
    realtype reached;
    out->steps = out->work = 0;
    int fine = sheet_multigrid_create(p->n, &r.mg);
    if (fine) {
        r.rate = sheet_rate(p, 0.0, &until);
        fine = open_tools(&k, &r, tolerance);
    }
    while (fine && t < SHEET_END_S - 1e-6) {
        r.rate = sheet_rate(p, t, &until);
        fine = (t == 0.0 || !CVodeReInit(k.cvode, t, k.y)) && !CVodeSetStopTime(k.cvode, until) &&
               CVode(k.cvode, until, k.y, &reached, CV_NORMAL) >= 0;
        count(&k, out);
        t = until;
    }
    if (fine) {
        const double *y = NV_DATA_S(k.y);
        sheet_books(p, y, y + p->cells, y + 2 * p->cells, out);
        memcpy(out->fixed, y + 2 * p->cells, p->cells * sizeof(double));
    }
    close_tools(&k);
    sheet_multigrid_destroy(&r.mg);
    return fine;
}
