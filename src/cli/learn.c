/* thawprint learn: several recorded runs -> what one's own kitchen does otherwise. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include <thawprint/learn.h>
#include <thawprint/scenario.h>

#include "commands.h"
#include "folder.h"
#include "progress.h"

#define USUAL_FOLDER "out/kitchen"

static const char *number_text(double value, int digits, char *out, size_t size)
{
    if (isfinite(value)) {
        snprintf(out, size, "%.*f", digits, value);
    } else {
        snprintf(out, size, "-");
    }
    return out;
}

static void print_numbers(const char *name, const thaw_lesson_number *n, int digits, const char *unit)
{
    char fact[24], before[24], after[24], held[24];
    if (isfinite(n->fact)) {
        printf("    %-10s %9s %9s %9s %9s  %s\n", name, number_text(n->fact, digits, fact, sizeof fact),
               number_text(n->before, digits, before, sizeof before), number_text(n->after, digits, after, sizeof after),
               number_text(n->held_out, digits, held, sizeof held), unit);
    }
}

static void print_pieces(const thaw_learn_figures *f)
{
    printf("%-14s %9s %9s %9s %9s\n", "Pieces", "happened", "before", "after", "held out");
    for (int i = 0; i < f->n; i++) {
        printf("  %s (%s)\n", f->pieces[i].title, f->pieces[i].cloth);
        print_numbers("ice gone", &f->pieces[i].melt_h, 1, "h");
        print_numbers("climbed", &f->pieces[i].climb_cm, 0, "cm");
        if (!isfinite(f->pieces[i].melt_h.fact) && !isfinite(f->pieces[i].climb_cm.fact)) {
            printf("    nothing that can be learnt from\n");
        }
    }
}

static void print_error(const char *name, const double errors[3], bool can_hold_out)
{
    if (isfinite(errors[0])) {
        printf("  %-12s off by %.0f %% before, %.0f %% after", name, 100.0 * errors[0], 100.0 * errors[1]);
        printf(can_hold_out ? ", %.0f %% for a piece held out\n" : "\n", 100.0 * errors[2]);
    }
}

static void print_learnt(const thaw_learn_figures *f)
{
    printf("\nLearnt         times what the tables say, and between what it lies four times out of five\n");
    printf("  heat exchange with the room   x %.2f (%.2f to %.2f), from %d melt times\n", f->heat.value, f->heat.low, f->heat.high,
           f->n_melts);
    for (int c = 0; c < f->n_cloths; c++) {
        const thaw_learnt_factor *k = &f->cloths[c].conductivity;
        if (f->cloths[c].n_climbs > 0) {
            printf("  conductivity of %s   x %.2f (%.2f to %.2f), from %d climb%s\n", f->cloths[c].name, k->value, k->low, k->high,
                   f->cloths[c].n_climbs, f->cloths[c].n_climbs == 1 ? "" : "s");
        }
    }
    printf("\nForecasts in the mean (held out: foretold with what the other pieces tell)\n");
    print_error("ice gone", f->melt_error, f->can_hold_out);
    print_error("climb", f->climb_error, f->can_hold_out);
}

static void print_screen(const thaw_learn_figures *f, const char *dir)
{
    const char *slash = dir[strlen(dir) - 1] == '/' ? "" : "/";
    print_pieces(f);
    print_learnt(f);
    printf("\nWritten to %s%s\n", dir, slash);
    printf("  %-20s what was learnt; nothing uses it unless you name it\n", "kitchen.yaml");
    printf("  %-20s every number, for scripts\n", "learn.json");
    if (!f->can_hold_out) {
        printf("\nDoubt        one piece: whether it helps the next one cannot be told; record more\n");
    } else if (!f->is_better) {
        printf("\nDoubt        a piece held out is foretold NO better with what the others tell: do not use it yet, record more\n");
    } else {
        printf("\nDoubt        what is learnt in one room, season and way of wringing holds for that\n");
    }
    printf("Try next     thawprint preview --kitchen %s%skitchen.yaml SCENARIO\n", dir, slash);
}

static thaw_status show(const options *given, const thaw_learnt *learnt, const char *dir, thaw_error *err)
{
    char *text = NULL;
    if (given->quiet) {
        printf("%s\n", dir);
        return THAW_OK;
    }
    if (!given->json) {
        print_screen(thaw_learnt_get_figures(learnt), dir);
        return THAW_OK;
    }
    thaw_status status = thaw_learnt_json(learnt, &text, err);
    if (status == THAW_OK) {
        printf("%s", text);
        thaw_text_free(text);
    }
    return status;
}

int command_learn(const options *given)
{
    thaw_error err = {0};
    thaw_learnt *learnt = NULL;
    progress shown;
    const char *dir = given->out_dir ? given->out_dir : USUAL_FOLDER;
    if (given->n_operands == 0) {
        fprintf(stderr, "thawprint: learn wants the folders of runs that were recorded\n");
        return EXIT_USAGE;
    }
    if (!folder_try(dir)) {
        return EXIT_SYSTEM;
    }
    progress_begin(&shown, given->quiet);
    const thaw_learn_options asked = {.threads = given->threads, .progress = progress_report, .user = &shown};
    thaw_status status = thaw_learn_run(given->operands, given->n_operands, &asked, &learnt, &err);
    progress_end(&shown);
    if (status == THAW_ERR_CANCELLED) {
        fprintf(stderr, "thawprint: stopped, nothing written\n");
        return EXIT_STOPPED;
    }
    if (status == THAW_OK) {
        status = thaw_learnt_write(learnt, dir, &err);
    }
    if (status == THAW_OK) {
        status = show(given, learnt, dir, &err);
    }
    thaw_learnt_destroy(learnt);
    return status == THAW_OK ? EXIT_DONE : complain(&err);
}
