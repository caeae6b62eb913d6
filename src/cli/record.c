/* thawprint record: what really happened, beside the forecast. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include <thawprint/record.h>
#include <thawprint/scenario.h>

#include "commands.h"

#define WIDTH 34                   /* of the column of the forecast */

/* "12 % (8 to 19)", or "-" where the forecast has none. */
static const char *forecast_text(double value, const double range[2], double per_unit, int digits, const char *unit, char *out,
                                 size_t size)
{
    if (!isfinite(value)) {
        snprintf(out, size, "-");
    } else if (range && isfinite(range[0]) && isfinite(range[1])) {
        snprintf(out, size, "%.*f%s (%.*f to %.*f)", digits, value / per_unit, unit, digits, range[0] / per_unit, digits,
                 range[1] / per_unit);
    } else {
        snprintf(out, size, "%.*f%s", digits, value / per_unit, unit);
    }
    return out;
}

static const char *verdict(double fact, double value, const double range[2])
{
    if (!isfinite(fact) || !isfinite(value) || !range || !isfinite(range[0]) || !isfinite(range[1])) {
        return "";
    }
    return fact < range[0] ? "  below the range" : fact > range[1] ? "  above the range" : "  within the range";
}

/* A line of both. `fact` in the unit shown; forecast and range are SI. */
static void print_line(const char *name, double value, const double range[2], double per_unit, int digits, const char *unit, double fact)
{
    char forecast[96], happened[48] = "-";
    if (isfinite(fact)) {
        snprintf(happened, sizeof happened, "%.*f%s", digits, fact, unit);
    }
    if (isfinite(fact) || isfinite(value)) {
        printf("%-12s %-*s %s%s\n", name, WIDTH, forecast_text(value, range, per_unit, digits, unit, forecast, sizeof forecast),
               happened, verdict(fact * per_unit, value, range));
    }
}

static void print_photo(const thaw_record *record)
{
    const thaw_preview_figures *f = thaw_record_forecast(record);
    const thaw_photo_figures *p = &thaw_record_facts(record)->photo;
    printf("From the photograph\n");
    print_line("  white", f->white_share, f->white_range, 0.01, 0, " %", p->white_percent);
    if (isfinite(p->bleed_percent)) {
        print_line("  bleed", f->bleed_share, f->bleed_range, 0.01, 0, " %", p->bleed_percent);
    }
    print_line("  fineness", f->fineness, f->fineness_range, 0.01, 1, " %", 100.0 * p->fineness);
    print_line("  grain across", f->grain_weft_m, f->grain_weft_range_m, 1e-3, 0, " mm", p->grain_weft_mm);
    print_line("  grain along", f->grain_warp_m, f->grain_warp_range_m, 1e-3, 0, " mm", p->grain_warp_mm);
    for (int i = 0; i < f->n_palette && i < p->n_palette; i++) {
        char left[40];
        const unsigned char *a = f->palette[i].rgb, *b = p->palette[i].rgb;
        snprintf(left, sizeof left, "#%02x%02x%02x %.0f %%", (unsigned)a[0], (unsigned)a[1], (unsigned)a[2], 100.0 * f->palette[i].share);
        printf("%-12s %-*s #%02x%02x%02x %.0f %%\n", i ? "" : "  colours", WIDTH, left, (unsigned)b[0], (unsigned)b[1], (unsigned)b[2],
               100.0 * p->palette[i].share);
    }
    if (!p->is_straightened) {
        printf("  taken as the whole cloth, seen straight from above: say --corners if it is not\n");
    }
    if (!p->is_balanced) {
        printf("  colours as the camera has them: a scrap of undyed cloth beside it and --white-at make them comparable\n");
    }
    if (p->pixel_mm > 1e3 * thaw_record_cell_m(record)) {
        printf("  one pixel of it shows %.1f mm of cloth, the forecast has cells of %.0f mm: it looks too smooth, come nearer\n",
               p->pixel_mm, 1e3 * thaw_record_cell_m(record));
    }
}

static void print_screen(const thaw_record *record, const char *dir)
{
    const thaw_preview_figures *f = thaw_record_forecast(record);
    const thaw_facts *facts = thaw_record_facts(record);
    const char *slash = dir[strlen(dir) - 1] == '/' ? "" : "/";
    printf("%s\n", thaw_record_title(record));
    printf("%-12s %-*s %s\n", "", WIDTH, "forecast (four times out of five)", "what happened");
    if (isfinite(f->melt_all_s) && !f->melted) {
        char happened[32] = "-";
        if (isfinite(facts->melted_h)) {
            snprintf(happened, sizeof happened, "%.1f h", facts->melted_h);
        }
        printf("%-12s %-*s %s\n", "Ice gone", WIDTH, "not before the rinse", happened);
    } else {
        print_line("Ice gone", f->melt_all_s, f->melt_all_range_s, 3600.0, 1, " h", facts->melted_h);
    }
    print_line("Rinsed after", f->leave_s, NULL, 3600.0, 1, " h", facts->rinsed_h);
    print_line("Climbed", f->climb_m[1], f->climb_range_m, 0.01, 0, " cm", facts->climb_cm);
    print_line("Left white", f->white_share, f->white_range, 0.01, 0, " %", facts->white_percent);
    if (facts->has_photo) {
        print_photo(record);
    }
    if (facts->remarks[0]) {
        printf("Remarks\n");
        for (const char *at = facts->remarks; *at;) {
            const int n = (int)strcspn(at, "\n");
            printf("  %.*s\n", n, at);
            at += n + (at[n] == '\n');
        }
    }
    if (thaw_record_is_new(record)) {
        printf("\nWritten to %s%s\n  %-20s what happened; `record` again adds to it\n", dir, slash, "record.json");
        if (facts->has_photo) {
            printf("  %-20s the photograph, made straight\n", "record-photo.png");
        }
        printf("Try next     when a few pieces are recorded: thawprint learn %s ...\n", dir);
    } else {
        printf("\nNothing new was said, nothing is written. Try next: --melted '6 h', --climbed '35 cm', --photo FILE ...\n");
    }
}

static thaw_status show(const options *given, const thaw_record *record, const char *dir, thaw_error *err)
{
    char *text = NULL;
    if (given->quiet) {
        printf("%s\n", dir);
        return THAW_OK;
    }
    if (!given->json) {
        print_screen(record, dir);
        return THAW_OK;
    }
    thaw_status status = thaw_record_json(record, &text, err);
    if (status == THAW_OK) {
        printf("%s", text);
        thaw_text_free(text);
    }
    return status;
}

int command_record(const options *given)
{
    thaw_error err = {0};
    thaw_record *record = NULL;
    if (given->n_operands != 1) {
        fprintf(stderr, "thawprint: record wants the folder of one run, not %d\n", given->n_operands);
        return EXIT_USAGE;
    }
    const char *dir = given->operands[0];
    thaw_status status = thaw_record_open(dir, &given->record, &record, &err);
    if (status == THAW_OK && thaw_record_is_new(record)) {
        status = thaw_record_write(record, &err);
    }
    if (status == THAW_OK) {
        status = show(given, record, dir, &err);
    }
    thaw_record_destroy(record);
    return status == THAW_OK ? EXIT_DONE : complain(&err);
}
