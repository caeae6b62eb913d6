/* Where the time of a preview goes: setup and engine by stage, then picture and PNG.
 *   preview_bench [--detail WORD] [--threads N] [--times N] SCENARIO...
 * --tight N divides the tolerances of an inner step by N, --macro N multiplies the longest macro steps. --dry FILE writes the dry picture. CPU seconds are those of all threads. */
#define _POSIX_C_SOURCE 200809L
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#ifdef _OPENMP
#include <omp.h>
#endif

#include "base/file.h"
#include "look/render.h"
#include "output/png.h"
#include "scenario/scenario.h"
#include "study/outcome.h"

enum { SETUP = THAW_STAGES, LOOK, PNG, ALL_STAGES };
static const char *const names[] = {"melt", "water", "carry", "uptake", "books", "setup", "look", "png"};

typedef struct watch {
    int stage;
    double cpu_s[ALL_STAGES], wall_s[ALL_STAGES], cpu0, wall0;
} watch;

static double now(clockid_t clock)
{
    struct timespec t;
    clock_gettime(clock, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void turn_to(watch *w, int stage)
{
    double cpu = now(CLOCK_PROCESS_CPUTIME_ID), wall = now(CLOCK_MONOTONIC);
    w->cpu_s[w->stage] += cpu - w->cpu0;
    w->wall_s[w->stage] += wall - w->wall0;
    w->cpu0 = cpu;
    w->wall0 = wall;
    w->stage = stage;
}

static void on_mark(void *user, thaw_engine_stage stage)
{
    turn_to(user, (int)stage);
}

static void fail(const thaw_error *err)
{
    fprintf(stderr, "preview_bench: %s\n", err->text);
    exit(1);
}

static void picture(thaw_outcome *w, watch *clock, const char *file)
{
    thaw_error err = {0};
    thaw_image image = {0};
    unsigned char *bytes = NULL;
    size_t n = 0;
    thaw_print print;
    thaw_outcome_print(w, &print);
    turn_to(clock, LOOK);
    if (thaw_look_render(&print, false, 1, &image, &err) != THAW_OK) {
        fail(&err);
    }
    thaw_preview_figures figures = {0};
    if (thaw_outcome_measure(w, &print, &figures, &err) != THAW_OK) {
        fail(&err);
    }
    turn_to(clock, PNG);
    if (thaw_png_encode(&image, NULL, 0, &bytes, &n, &err) != THAW_OK) {
        fail(&err);
    }
    turn_to(clock, SETUP);
    if (file) {
        FILE *out = fopen(file, "wb");
        fwrite(bytes, 1, n, out);
        fclose(out);
    }
    printf("  white %.3f %%\n", 100.0 * figures.white_share);
    free(image.rgb);
    free(bytes);
}

static void run(const char *file, int detail, double tight, double macro, const char *dry)
{
    thaw_error err = {0};
    thaw_scenario *scenario = NULL;
    watch clock = {.stage = SETUP, .cpu0 = now(CLOCK_PROCESS_CPUTIME_ID), .wall0 = now(CLOCK_MONOTONIC)};
    if (thaw_scenario_load(file, &scenario, &err) != THAW_OK) {
        fail(&err);
    }
    thaw_specification spec = *thaw_scenario_specification(scenario);
    if (detail >= 0) {
        spec.detail = (thaw_detail)detail;
        spec.cell_m = detail == 0 ? 4e-3 : detail == 1 ? 2e-3 : 1e-3;
    }
    thaw_outcome work = {.spec = &spec};
    if (thaw_outcome_prepare(&work, &err) != THAW_OK) {
        fail(&err);
    }
    thaw_engine *e = &work.engine;
    e->mark = on_mark;
    e->mark_user = &clock;
    thaw_engine_tolerance *t = &e->tolerance;
    t->water /= tight;
    t->solver /= tight;
    t->courant /= tight;
    t->macro_share *= macro;
    t->macro_melt_s *= macro;
    t->macro_batch_s *= macro;
    t->macro_pool_s *= macro;
    e->wick.solver_tolerance = t->solver;
    if (thaw_engine_run(e, NULL, NULL, &err) != THAW_OK) {
        fail(&err);
    }
    turn_to(&clock, SETUP);
    printf("%s  %d x %d cells of %g mm, %.3g h\n", file, work.bundle.nx, work.bundle.ny, 1e3 * spec.cell_m, spec.leave_s / 3600.0);
    /* before the picture, which joins dead and living dye */
    const double books[] = {thaw_engine_water_error(e), thaw_engine_heat_error(e), thaw_engine_soda_error(e),
                            e->dyes->n ? thaw_engine_dye_error(e, 0) : 0.0};
    picture(&work, &clock, dry);
    double cpu = 0.0, wall = 0.0;
    for (int s = 0; s < ALL_STAGES; s++) {
        cpu += clock.cpu_s[s];
        wall += clock.wall_s[s];
    }
    for (int s = 0; s < ALL_STAGES; s++) {
        printf("  %-7s cpu %7.2f  wall %7.2f  %4.1f %%\n", names[s], clock.cpu_s[s], clock.wall_s[s], 100.0 * clock.cpu_s[s] / cpu);
    }
    printf("  %-7s cpu %7.2f  wall %7.2f\n", "all", cpu, wall);
    printf("  water steps %ld, rejected %ld, solver rounds %ld, carry parts %ld; ledgers water %.1e heat %.1e soda %.1e dye %.1e\n",
           e->n_inner, e->n_rejected, e->n_rounds, e->n_carry, books[0], books[1], books[2], books[3]);
    fflush(stdout);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

int main(int argc, char **argv)
{
    int detail = -1, times = 1;
    double tight = 1.0, macro = 1.0;
    const char *dry = NULL;
    for (int a = 1; a < argc; a++) {
        if (!strcmp(argv[a], "--detail") && a + 1 < argc) {
            const char *word = argv[++a];
            detail = !strcmp(word, "draft") ? 0 : !strcmp(word, "normal") ? 1 : 2;
        } else if (!strcmp(argv[a], "--threads") && a + 1 < argc) {
#ifdef _OPENMP
            omp_set_num_threads(atoi(argv[++a]));
#else
            a++;
#endif
        } else if (!strcmp(argv[a], "--tight") && a + 1 < argc) {
            tight = atof(argv[++a]);
        } else if (!strcmp(argv[a], "--macro") && a + 1 < argc) {
            macro = atof(argv[++a]);
        } else if (!strcmp(argv[a], "--dry") && a + 1 < argc) {
            dry = argv[++a];
        } else if (!strcmp(argv[a], "--times") && a + 1 < argc) {
            times = atoi(argv[++a]);
        } else {
            for (int i = 0; i < times; i++) {
                run(argv[a], detail, tight, macro, dry);
            }
        }
    }
    return 0;
}
