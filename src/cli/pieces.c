/* thawprint pieces: pattern pieces on the forecast cloth. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include <thawprint/pieces.h>

#include "commands.h"
#include "folder.h"
#include "progress.h"

#define USUAL_CHANCES 6
#define CM            100.0
#define INCHES        (CM / 2.54)
#define HARDLY        40.0         /* score of a wish that is as good as not met */

/* Exit status; a wish that names no piece is a fault of the command line. */
static int load_pattern(const options *given, thaw_pattern **out)
{
    thaw_error err = {0};
    thaw_pattern *pattern = NULL;
    if (thaw_pattern_load(given->pattern, &pattern, &err) != THAW_OK) {
        return complain(&err);
    }
    int result = EXIT_DONE;
    for (int i = 0; i < given->n_wishes; i++) {
        char name[200];
        const char *equals = strchr(given->wishes[i], '=');
        thaw_error why = {0};
        snprintf(name, sizeof name, "%.*s", (int)(equals - given->wishes[i]), given->wishes[i]);
        if (thaw_pattern_set_wish(pattern, name, equals + 1, &why) != THAW_OK) {
            fprintf(stderr, "thawprint: --wish: %s\n", why.text);
            result = EXIT_USAGE;
        }
    }
    if (result != EXIT_DONE) {
        thaw_pattern_destroy(pattern);
        return result;
    }
    *out = pattern;
    return EXIT_DONE;
}

static void print_name(const thaw_piece_place *p)
{
    char name[80];
    int width = 22;
    snprintf(name, sizeof name, p->n_cut > 1 ? "%s %d" : "%s", p->name, p->number);
    for (const char *at = name; *at; at++) {
        width += ((unsigned char)*at & 0xC0u) == 0x80u; /* bytes that take no column */
    }
    printf("  %-*s", width, name);
}

static void print_wishes(const thaw_piece_place *p)
{
    char text[200];
    size_t n = 0;
    text[0] = '\0';
    for (int w = 0; w < p->n_wishes && n < sizeof text; w++) {
        n += (size_t)snprintf(text + n, sizeof text - n, "%s%s %.0f (%.0f to %.0f)", w ? ", " : "", p->wishes[w].text, p->wishes[w].mean,
                              p->wishes[w].least, p->wishes[w].most);
    }
    printf(" %s\n", p->n_wishes ? text : "no wish");
}

static void print_places(const thaw_pieces_figures *f)
{
    printf("  %-22s %5s  %6s %6s  %-22s %s\n", "piece", "score", "left", "top", "how", "wishes: mean (least to most of the chances)");
    for (int i = 0; i < f->n; i++) {
        const thaw_piece_place *p = &f->places[i];
        char score[16] = "-";
        if (isfinite(p->score)) {
            snprintf(score, sizeof score, "%.0f", p->score);
        }
        print_name(p);
        printf(" %5s  %6.1f %6.1f  %-22s", score, p->left_m * CM, p->top_m * CM,
               p->is_mirrored && p->is_turned ? "mirrored, head to foot" : p->is_mirrored ? "mirrored" : p->is_turned ? "head to foot" : "");
        print_wishes(p);
    }
}

/* As read: sizes are what goes wrong first. */
static void print_sizes(const thaw_pieces_figures *f)
{
    printf("  %-22s %-33s %4s  %s\n", "piece", "width x length", "cut", "wishes");
    for (int i = 0; i < f->n; i++) {
        const thaw_piece_place *p = &f->places[i];
        thaw_piece_place one = *p;
        if (p->number > 1) {
            continue;
        }
        one.n_cut = 1;
        print_name(&one);
        char size[64];
        snprintf(size, sizeof size, "%.1f x %.1f cm (%.2f x %.2f in)", p->width_m * CM, p->length_m * CM, p->width_m * INCHES,
                 p->length_m * INCHES);
        printf(" %-33s %4d ", size, p->n_cut);
        for (int w = 0; w < p->n_wishes; w++) {
            printf("%s%s", w ? ", " : " ", p->wishes[w].text);
        }
        printf("%s\n", p->n_wishes ? "" : " none");
    }
    printf("Sizes as cut, allowance included, the grain up and down.\n");
}

static void print_lack(const thaw_pieces_figures *f, FILE *to)
{
    fprintf(to, "Not all pieces fit on cloth of %.0f x %.0f cm.\n", f->cloth_width_m * CM, f->cloth_length_m * CM);
    for (int i = 0; i < f->n; i++) {
        const thaw_piece_place *p = &f->places[i];
        char number[16] = "";
        if (p->n_cut > 1) {
            snprintf(number, sizeof number, " %d", p->number);
        }
        if (p->is_too_wide) {
            fprintf(to, "  too wide: %s%s is %.1f cm across the grain, %.1f cm more than the cloth\n", p->name, number, p->width_m * CM,
                    (p->width_m - f->cloth_width_m) * CM);
        } else if (!p->is_placed) {
            fprintf(to, "  no room for: %s%s, %.1f x %.1f cm\n", p->name, number, p->width_m * CM, p->length_m * CM);
        }
    }
    if (isfinite(f->length_needed_m)) {
        const double more = fmax(0.0, f->length_needed_m - f->cloth_length_m);
        fprintf(to, "At this width about %.0f cm of length would do, %.0f cm more: the closest lay found.\n", ceil(f->length_needed_m * CM),
                ceil(more * CM));
    } else {
        fprintf(to, "The cloth would have to be at least %.1f cm wide.\n", f->width_needed_m * CM);
    }
}

/* Wishes that this cloth does not meet. */
static void print_unmet(const thaw_pieces_figures *f)
{
    int n = 0;
    for (int i = 0; i < f->n; i++) {
        for (int w = 0; w < f->places[i].n_wishes; w++) {
            if (f->places[i].wishes[w].mean < HARDLY) {
                printf("%s%s (%s)", n++ ? ", " : "Hardly met:  ", f->places[i].name, f->places[i].wishes[w].text);
            }
        }
    }
    printf("%s", n ? ": the cloth has no such place, or others need it more.\n" : "");
}

static void print_lay(const thaw_pieces_figures *f, const char *dir, const char *paper, int n_pages)
{
    print_places(f);
    printf("Left and top: cm from the upper left corner of the cloth, the warp up and down.\n");
    if (isfinite(f->total)) {
        printf("Wishes met: %.0f of 100, over %d chances. 100 is a wish wholly met; docs/pieces.md tells how it is reckoned.\n", f->total,
               f->n_chances);
    } else {
        printf("No piece has a wish, so all were laid to save cloth. Give some: --wish 'PIECE=white', or `wish:` in the pattern.\n");
    }
    print_unmet(f);
    printf("\nCautions\n"
           "  A forecast, not your cloth: dye, rinse, dry and press it first, measure it anew (it shrinks), and lay the\n"
           "  paper pieces on what really came out before you cut. The picture tells what to look for.\n"
           "  Seam allowance is only there where the pattern has it.\n");
    printf("\nWritten to %s\n"
           "  lay.png            the pieces on the cloth; piece-*.png each one cut out\n"
           "  lay-%s.pdf%*s %d pages at true size: print page 1 first and measure its square\n"
           "  pieces.json        places, outlines and scores; pieces.yaml the scenario with every value\n",
           dir, paper, (int)(8 - strlen(paper)), "", n_pages);
}

static int print_json(const thaw_pieces *pieces)
{
    thaw_error err = {0};
    char *text = NULL;
    if (thaw_pieces_json(pieces, &text, &err) != THAW_OK) {
        return complain(&err);
    }
    printf("%s", text);
    thaw_text_free(text);
    return EXIT_DONE;
}

static int report(const options *given, const thaw_scenario *scenario, const thaw_pattern *pattern, const thaw_pieces *pieces,
                  const char *dir, int n_pages)
{
    const thaw_pieces_figures *f = thaw_pieces_get_figures(pieces);
    const bool is_small = f->pieces_m2 < 0.1;
    if (given->json) {
        const int result = print_json(pieces);
        return result == EXIT_DONE && !f->fits ? EXIT_NOT_MET : result;
    }
    if (given->quiet) {
        if (!f->fits) {
            print_lack(f, stderr);
        } else if (!given->dry_run) {
            printf("%s\n", dir);
        }
        return f->fits ? EXIT_DONE : EXIT_NOT_MET;
    }
    printf("%s on %s\n%d piece%s, %.*f %s, on %.0f x %.0f cm (%.0f x %.0f in) of cloth\n\n", thaw_pattern_title(pattern),
           thaw_scenario_title(scenario), f->n, f->n == 1 ? "" : "s", is_small ? 0 : 2, is_small ? CM * CM * f->pieces_m2 : f->pieces_m2,
           is_small ? "cm2" : "m2", f->cloth_width_m * CM, f->cloth_length_m * CM, f->cloth_width_m * INCHES, f->cloth_length_m * INCHES);
    if (!f->fits || given->dry_run) {
        print_sizes(f);
        printf("\n");
    }
    if (!f->fits) {
        print_lack(f, stdout);
        return EXIT_NOT_MET;
    }
    if (given->dry_run) {
        printf("All fits; laid to save cloth it takes %.0f of %.0f cm of length.\n", ceil(f->length_needed_m * CM), f->cloth_length_m * CM);
    } else {
        print_lay(f, dir, given->paper ? given->paper : "a4", n_pages);
    }
    return EXIT_DONE;
}

static int run(const options *given, const thaw_scenario *scenario, thaw_pattern *pattern, const char *dir)
{
    thaw_error err = {0};
    thaw_pieces *pieces = NULL;
    progress shown;
    int n_pages = 0;
    progress_begin(&shown, given->quiet);
    const thaw_pieces_options asked = {
        .set = {.n = given->chances ? given->chances : USUAL_CHANCES, .only_luck = given->only_luck, .threads = given->threads,
                .progress = progress_report, .user = &shown},
        .one_way = given->one_way, .only_fit = given->dry_run};
    thaw_status status = thaw_pieces_run(scenario, pattern, &asked, dir, &pieces, &err);
    progress_end(&shown);
    if (status == THAW_ERR_CANCELLED) {
        fprintf(stderr, "thawprint: stopped; what is done is kept in %s, and the same command goes on\n", dir);
        return EXIT_STOPPED;
    }
    if (status == THAW_OK && !given->dry_run && thaw_pieces_get_figures(pieces)->fits) {
        status = thaw_pieces_write(pieces, dir, given->paper ? given->paper : "a4", &n_pages, &err);
    }
    const int result = status == THAW_OK ? report(given, scenario, pattern, pieces, dir, n_pages) : complain(&err);
    thaw_pieces_destroy(pieces);
    return result;
}

/* Faults of both files together. */
int command_pieces(const options *given)
{
    thaw_error err = {0};
    thaw_scenario *scenario = NULL;
    thaw_pattern *pattern = NULL;
    char usual[160];
    if (given->n_operands != 1 || !given->pattern) {
        fprintf(stderr, "thawprint: pieces takes one scenario and a pattern: thawprint pieces my.yaml --pattern gown.yaml\n");
        return EXIT_USAGE;
    }
    if (given->chances > THAW_PIECES_CHANCES_MOST) {
        fprintf(stderr, "thawprint: --chances: at most %d for pieces\n", THAW_PIECES_CHANCES_MOST);
        return EXIT_USAGE;
    }
    /* coarse cells tell enough where to cut */
    int result = load_scenario(given, "draft", &scenario, &err) == THAW_OK ? EXIT_DONE : complain(&err);
    const int second = load_pattern(given, &pattern);
    result = result != EXIT_DONE ? result : second;
    if (result == EXIT_DONE) {
        snprintf(usual, sizeof usual, "out/pieces-%s", thaw_scenario_name(scenario));
        const char *dir = given->out_dir ? given->out_dir : usual;
        result = given->dry_run || folder_try(dir) ? run(given, scenario, pattern, dir) : EXIT_SYSTEM;
    }
    thaw_pattern_destroy(pattern);
    thaw_scenario_destroy(scenario);
    return result;
}
