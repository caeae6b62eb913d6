/* thawprint strip: a wicking strip test -> the user's own cloth. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include <thawprint/scenario.h>
#include <thawprint/strip.h>

#include "commands.h"
#include "folder.h"

#define MUCH_SCATTER 0.10          /* of the height; strips of one cloth scatter by some per cent */
#define LONG_S       3600.0        /* beyond, drying holds the front back */
#define KELVIN       273.15
#define USUAL_FILE   "cloths.yaml"

static const char *range_text(const thaw_strip_value *v, double per_unit, char *out, size_t size)
{
    if (v->low > 0.0 && isfinite(v->high)) {
        snprintf(out, size, "%.3g to %.3g", v->low / per_unit, v->high / per_unit);
    } else if (v->low > 0.0) {
        snprintf(out, size, "%.3g or more", v->low / per_unit);
    } else if (isfinite(v->high)) {
        snprintf(out, size, "up to %.3g", v->high / per_unit);
    } else {
        snprintf(out, size, "open");
    }
    return out;
}

static void print_cloth(const thaw_strip_figures *f)
{
    char range[64];
    printf("Cloth        %s, like %s\n", f->name, f->like);
    printf("conductivity %.3g mm/s (%s) along the warp; %s has %.3g\n", 1e3 * f->conductivity_m_s.value,
           range_text(&f->conductivity_m_s, 1e-3, range, sizeof range), f->like, 1e3 * f->before_m_s);
    printf("entry-head   %.3g mm (%s); %s has %.3g\n", 1e3 * f->head_m.value, range_text(&f->head_m, 1e-3, range, sizeof range), f->like,
           1e3 * f->before_head_m);
}

static void print_fit(const thaw_strip_figures *f)
{
    char range[64];
    printf("K_s/porosity %.3g mm/s (%s)\n", 1e3 * f->speed_m_s.value, range_text(&f->speed_m_s, 1e-3, range, sizeof range));
    printf("Entry head   %.3g mm (%s)\n", 1e3 * f->head_m.value, range_text(&f->head_m, 1e-3, range, sizeof range));
}

static void print_doubt(const thaw_strip_figures *f)
{
    const bool is_open = !(f->speed_m_s.low > 0.0 && isfinite(f->speed_m_s.high) && f->head_m.low > 0.0 && isfinite(f->head_m.high));
    printf("\nDoubt        in brackets: nine times out of ten, for cloth whose front is level within some per cent\n");
    if (f->rms_share > MUCH_SCATTER) {
        printf("             the readings scatter by %.0f %%: look at the one at %.4g min (%+.0f %%), and at the units\n",
               100.0 * f->rms_share, f->worst_t_s / 60.0, 100.0 * f->worst_share);
    }
    if (is_open) {
        printf("             these readings leave an end open: read later too, until the front hardly climbs\n");
    }
    if (f->last_t_s > LONG_S) {
        printf("             after an hour in open air drying holds the front back: leave those readings out, or cover the strip\n");
    }
    if (!f->water_given) {
        printf("             water taken to be 20 degC; at 12 degC conductivity would come out a fifth higher: --water\n");
    }
}

static void print_files(const thaw_strip *strip, const char *dir, const char *file)
{
    printf("\nWritten to %s%s\n", dir, dir[strlen(dir) - 1] == '/' ? "" : "/");
    printf("  %-20s %s\n", "strip.png", "the readings and the fit: look whether the line runs through the dots");
    printf("  %-20s %s\n", "strip.json", "every number, for scripts");
    if (!thaw_strip_get_figures(strip)->name) {
        return;
    }
    if (strcmp(file, USUAL_FILE) == 0) {
        printf("  %-20s %s\n", file, "your cloth; lay it beside your scenario, or name it with --cloths");
    } else {
        printf("  %-20s your cloth. The %s that is there already holds other cloth, or was changed by hand: it is\n"
               "  %-20s left as it was. Copy the new entry into it, or name the new file with --cloths\n", file, USUAL_FILE, "");
    }
}

static void print_screen(const thaw_strip *strip, const char *dir, const char *file)
{
    const thaw_strip_figures *f = thaw_strip_get_figures(strip);
    printf("Strip test   %d readings, the last after %.3g min, water of %.3g degC; fitted within %.1f mm (%.1f %%)\n", f->n_readings,
           f->last_t_s / 60.0, f->water_k - KELVIN, 1e3 * f->rms_m, 100.0 * f->rms_share);
    if (f->name) {
        print_cloth(f);
    } else {
        print_fit(f);
    }
    printf("Climbs       %.0f mm in 10 min, %.0f mm in 30 min in such water\n", 1e3 * thaw_strip_height_m(strip, 600.0),
           1e3 * thaw_strip_height_m(strip, 1800.0));
    if (f->question[0]) {
        printf("NOT USUAL    %s\n", f->question);
    }
    print_files(strip, dir, file);
    print_doubt(f);
    if (f->name) {
        printf("Try next     `cloth: { kind: %s, ... }` in a scenario, and\n"
               "             thawprint preview --cloths %s%s%s SCENARIO\n", f->name, dir, dir[strlen(dir) - 1] == '/' ? "" : "/", file);
    } else {
        printf("Try next     --cloth 'cotton twill', or what yours is most like: then it becomes a cloth for your scenarios\n");
    }
}

/* Where the files go unless asked: out/strip-NAME of the readings. */
static void usual_folder(const char *path, char *out, size_t size)
{
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
    size_t n = strcspn(name, ".");
    snprintf(out, size, "out/strip-%.*s", (int)(n > 80 ? 80 : n), name);
    for (char *at = out + 10; *at; at++) {
        const bool is_safe = (*at >= 'a' && *at <= 'z') || (*at >= 'A' && *at <= 'Z') || (*at >= '0' && *at <= '9') || *at == '-' || *at == '_';
        *at = is_safe ? *at : '-';
    }
}

static thaw_status show(const options *given, const thaw_strip *strip, const char *dir, thaw_error *err)
{
    const char *question = thaw_strip_get_figures(strip)->question;
    char *text = NULL, file[THAW_STRIP_FILE] = "";
    if (question[0] && (given->quiet || given->json)) {
        fprintf(stderr, "thawprint: %s: not usual: %s\n", given->operands[0], question);
    }
    if (given->quiet) {
        printf("%s\n", dir);
        return THAW_OK;
    }
    if (!given->json) {
        /* what was just written may be written again, so it is that file */
        thaw_status status = thaw_strip_get_figures(strip)->name ? thaw_strip_cloth_file(strip, dir, file, err) : THAW_OK;
        if (status == THAW_OK) {
            print_screen(strip, dir, file);
        }
        return status;
    }
    thaw_status status = thaw_strip_json(strip, &text, err);
    if (status == THAW_OK) {
        printf("%s", text);
        thaw_text_free(text);
    }
    return status;
}

int command_strip(const options *given)
{
    thaw_error err = {0};
    thaw_strip *strip = NULL;
    char usual[128];
    if (given->n_operands != 1) {
        fprintf(stderr, "thawprint: strip wants one file of readings, not %d\n", given->n_operands);
        return EXIT_USAGE;
    }
    if (!given->cloth && (given->name || given->cloths)) {
        fprintf(stderr, "thawprint: --%s goes with --cloth\n", given->name ? "name" : "cloths");
        return EXIT_USAGE;
    }
    usual_folder(given->operands[0], usual, sizeof usual);
    const char *dir = given->out_dir ? given->out_dir : usual;
    const thaw_strip_options asked = {.cloth = given->cloth, .cloths = given->cloths, .name = given->name, .water = given->water,
                                      .along_weft = given->along_weft};
    thaw_status status = thaw_strip_run(given->operands[0], &asked, &strip, &err);
    if (status == THAW_OK && !folder_try(dir)) {
        thaw_strip_destroy(strip);
        return EXIT_SYSTEM;
    }
    if (status == THAW_OK) {
        status = thaw_strip_write(strip, dir, &err);
    }
    if (status == THAW_OK) {
        status = show(given, strip, dir, &err);
    }
    thaw_strip_destroy(strip);
    return status == THAW_OK ? EXIT_DONE : complain(&err);
}
