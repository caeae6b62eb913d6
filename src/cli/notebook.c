/* thawprint notebook: a page for the project notebook, and the way back from one. */
#define _POSIX_C_SOURCE 200809L

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>

#include <thawprint/notebook.h>
#include <thawprint/say.h>

#include "commands.h"
#include "folder.h"
#include "progress.h"

#define LONGEST 4096
#define USUAL_PAGE "notebook.html"

/* Where the page goes and what it comes from. */
typedef struct place {
    char scenario[LONGEST];        /* file to load */
    char folder[LONGEST];          /* of an earlier run; empty: none */
    char dir[LONGEST], page[256];
    char scratch[LONGEST + 300];
} place;

static bool is_folder(const char *path)
{
    struct stat info;
    return stat(path, &info) == 0 && S_ISDIR(info.st_mode);
}

static bool is_page(const char *path)
{
    const char *dot = strrchr(path, '.');
    return dot && dot > path && dot[-1] != '/' && (strcmp(dot, ".html") == 0 || strcmp(dot, ".htm") == 0);
}

/* "a/b.html" is page b.html in folder a; anything else is a folder. */
static void split(const char *output, place *p)
{
    const char *slash = strrchr(output, '/');
    if (!is_page(output) || is_folder(output)) {
        snprintf(p->dir, sizeof p->dir, "%s", output);
        return;
    }
    const int n = slash ? (int)(slash - output) : 0;
    snprintf(p->dir, sizeof p->dir, "%.*s", slash ? (n > 0 ? n : 1) : 1, slash ? output : ".");
    snprintf(p->page, sizeof p->page, "%s", slash ? slash + 1 : output);
}

static bool find_source(const options *given, place *p)
{
    const char *operand = given->operands[0];
    if (strlen(operand) > LONGEST - 40) {
        fprintf(stderr, "thawprint: the name of the scenario is too long\n");
        return false;
    }
    snprintf(p->scenario, sizeof p->scenario, "%s", operand);
    if (is_folder(operand)) {
        snprintf(p->folder, sizeof p->folder, "%s", operand);
        snprintf(p->scenario, sizeof p->scenario, "%.*s/scenario.yaml", LONGEST - 40, operand);
        struct stat info;
        if (stat(p->scenario, &info) != 0) {
            fprintf(stderr, "thawprint: %s: holds no scenario.yaml, so it is no folder that preview wrote\n", operand);
            return false;
        }
    }
    return true;
}

static bool find_target(const options *given, const thaw_scenario *scenario, place *p)
{
    snprintf(p->page, sizeof p->page, USUAL_PAGE);
    if (given->out_dir && (strlen(given->out_dir) > LONGEST - 300 || given->out_dir[0] == '\0')) {
        fprintf(stderr, "thawprint: the name of the page is empty or too long\n");
        return false;
    }
    if (given->out_dir) {
        split(given->out_dir, p);
    } else if (p->folder[0]) {
        snprintf(p->dir, sizeof p->dir, "%s", p->folder);
    } else {
        snprintf(p->dir, sizeof p->dir, "out/%s", thaw_scenario_name(scenario));
    }
    snprintf(p->scratch, sizeof p->scratch, "%s/%.*s-chances", p->dir, (int)strcspn(p->page, "."), p->page);
    return true;
}

static thaw_status load(const options *given, const place *p, thaw_scenario **out, thaw_error *err)
{
    thaw_scenario *scenario = NULL;
    thaw_status status = thaw_scenario_load_kitchen(p->scenario, given->cloths, given->dyes, given->kitchen, NULL, 0, &scenario, err);
    if (status == THAW_OK && given->detail) {
        status = thaw_scenario_set_detail(scenario, given->detail, err);
    }
    if (status != THAW_OK) {
        thaw_scenario_destroy(scenario);
        return status;
    }
    if (given->seed_given) {
        thaw_scenario_set_seed(scenario, given->seed);
    }
    *out = scenario;
    return THAW_OK;
}

/* "26 November 2026" */
static const char *today(char *out, size_t size)
{
    static const char *const months[] = {"January", "February", "March",     "April",   "May",      "June",
                                         "July",    "August",   "September", "October", "November", "December"};
    const time_t now = time(NULL);
    struct tm local;
    out[0] = '\0';
    if (localtime_r(&now, &local)) {
        snprintf(out, size, "%d %s %d", local.tm_mday, months[local.tm_mon], local.tm_year + 1900);
    }
    return out;
}

static void print_page(const options *given, const thaw_scenario *scenario, const thaw_notebook *book, const place *p)
{
    const thaw_preview_figures *f = thaw_notebook_figures(book);
    const int frames = thaw_notebook_frame_count(book);
    char gone[64], ready[64];
    if (given->json) {
        printf("%s", thaw_notebook_json(book));
        return;
    }
    if (given->quiet) {
        printf("%s/%s\n", p->dir, p->page);
        return;
    }
    printf("%s\n", thaw_scenario_title(scenario));
    printf("Page         %s/%s, %.1f MiB, %s\n", p->dir, p->page, (double)thaw_notebook_size(book) / 1048576.0,
           thaw_notebook_was_run(book) ? "from a run made now" : "from the run that lies in the folder");
    if (frames > 0 && thaw_notebook_was_run(book)) {
        const int stem = (int)(strrchr(p->page, '.') - p->page);
        printf("Film         %d frames on the page, and to share: %.*s-melt.webp (animated), %.*s-melt.png (strip)\n", frames, stem, p->page,
               stem, p->page);
    } else {
        printf("Film         %s\n", frames > 0 ? "the frames of the folder" : "none; --frames 24 takes pictures of the melt");
    }
    if (f->ice_kg > 0.0 && f->melted) {
        printf("Ice gone     after about %s\n", thaw_say_about(f->melt_all_s, gone, sizeof gone));
    } else if (f->ice_kg > 0.0) {
        printf("Ice gone     NOT before the rinse\n");
    }
    if (f->n_dyes > 0) {
        printf("Leave it     about %s\n", thaw_say_about(f->ready_s, ready, sizeof ready));
    }
    printf(f->white_share < 0.005 ? "Left white   under 1 %% of the cloth\n" : "Left white   %.0f %% of the cloth\n", 100.0 * f->white_share);
    printf("\nDoubt        one roll of the dice; the page gives each number with its range\n"
           "Try next     open it in a browser, print it, and note on it how the real cloth came out\n"
           "Cautions     are on the page: read them before the powder is opened; the supplier's data sheet decides\n");
}

static int make(const options *given, const thaw_scenario *scenario, const place *p)
{
    thaw_error err = {0};
    thaw_notebook *book = NULL;
    char date[64];
    progress shown;
    thaw_notebook_options asked = {.folder = p->folder[0] ? p->folder : NULL, .frames = given->frames == FRAMES_NOT_GIVEN ? THAW_NOTEBOOK_AS_FOUND : given->frames, .chances = given->chances,
                                   .only_luck = given->only_luck, .scratch = p->scratch, .without_ranges = given->without_ranges,
                                   .threads = given->threads, .progress = progress_report, .user = &shown};
    asked.date = !given->date ? today(date, sizeof date) : strcmp(given->date, "none") == 0 ? "" : given->date;
    progress_begin(&shown, given->quiet);
    thaw_status status = thaw_notebook_make(scenario, &asked, &book, &err);
    progress_end(&shown);
    if (status == THAW_OK && progress_stopped()) {
        thaw_notebook_destroy(book);
        fprintf(stderr, "thawprint: stopped, nothing written\n");
        return EXIT_STOPPED;
    }
    if (status == THAW_OK) {
        status = thaw_notebook_write(book, p->dir, p->page, &err);
    }
    if (status == THAW_OK) {
        print_page(given, scenario, book, p);
    }
    thaw_notebook_destroy(book);
    return status == THAW_OK ? EXIT_DONE : complain(&err);
}

static int take_out(const options *given)
{
    thaw_error err = {0};
    if (!given->out_dir) {
        fprintf(stderr, "thawprint: --take-out wants a folder: -o DIR\n");
        return EXIT_USAGE;
    }
    if (thaw_notebook_take_out(given->operands[0], given->out_dir, &err) != THAW_OK) {
        return complain(&err);
    }
    if (given->quiet) {
        printf("%s\n", given->out_dir);
    } else {
        printf("Written to %s/\n  scenario.yaml        the scenario of the page, and the pictures it names\n\n"
               "Try next     thawprint preview %s/scenario.yaml\n", given->out_dir, given->out_dir);
    }
    return EXIT_DONE;
}

int command_notebook(const options *given)
{
    thaw_error err = {0};
    thaw_scenario *scenario = NULL;
    static const place nowhere;
    place p = nowhere;
    if (given->n_operands != 1) {
        fprintf(stderr, "thawprint: notebook takes one scenario or one folder of a run, not %d\n", given->n_operands);
        return EXIT_USAGE;
    }
    if (given->date && strlen(given->date) > 60) {
        fprintf(stderr, "thawprint: --date: at most 60 bytes\n");
        return EXIT_USAGE;
    }
    if (given->take_out) {
        return take_out(given);
    }
    if (!find_source(given, &p)) {
        return EXIT_SCENARIO;
    }
    if (load(given, &p, &scenario, &err) != THAW_OK) {
        return complain(&err);
    }
    int result = !find_target(given, scenario, &p) ? EXIT_USAGE : folder_try(p.dir) ? make(given, scenario, &p) : EXIT_SYSTEM;
    thaw_scenario_destroy(scenario);
    return result;
}
