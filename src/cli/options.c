#include "options.h"

#include <getopt.h>
#include <stdio.h>
#include <string.h>

#include <thawprint/chances.h>
#include <thawprint/words.h>

#include "options_table.h"

static bool fault(const char *what, const char *word, const char *near, const char *mark)
{
    fprintf(stderr, "thawprint: %s `%.60s`", what, word);
    if (near) {
        fprintf(stderr, "; did you mean `%s%s`?\n", mark, near);
    } else {
        fprintf(stderr, "; see `thawprint --help`\n");
    }
    return false;
}

static bool unknown_flag(const char *word)
{
    const char *names[MOST_FLAGS];
    for (int i = 0; i < N_FLAGS; i++) {
        names[i] = FLAGS[i].name;
    }
    char bare[64];
    snprintf(bare, sizeof bare, "%s", word + strspn(word, "-"));
    bare[strcspn(bare, "=")] = '\0';
    return fault("there is no flag", word, thaw_words_nearest(bare, names, N_FLAGS), "--");
}

static bool choose_command(const char *word, options *out)
{
    const char *names[MOST_COMMANDS];
    for (int i = 0; i < N_COMMANDS; i++) {
        names[i] = COMMANDS[i].name;
        if (strcmp(word, names[i]) == 0) {
            out->command = COMMANDS[i].id;
            return true;
        }
    }
    return fault("there is no command", word, thaw_words_nearest(word, names, N_COMMANDS), "");
}

static bool parse_whole(const char *text, uint64_t *value)
{
    uint64_t sum = 0;
    const char *at = text;
    for (; *at >= '0' && *at <= '9'; at++) {
        uint64_t digit = (uint64_t)(*at - '0');
        if (sum > (UINT64_MAX - digit) / 10) {
            return false;
        }
        sum = sum * 10 + digit;
    }
    *value = sum;
    return at > text && *at == '\0';
}

static bool set_threads(const char *text, options *out)
{
    uint64_t n = 0;
    if (!parse_whole(text, &n) || n < 1 || n > 64) {
        fprintf(stderr, "thawprint: --threads `%.40s`: a whole number from 1 to 64 is wanted\n",
                text);
        return false;
    }
    out->threads = (int)n;
    return true;
}

static bool set_chances(const char *text, options *out)
{
    uint64_t n = 0;
    if (!parse_whole(text, &n) || n < 2 || n > THAW_CHANCES_MOST) {
        fprintf(stderr, "thawprint: --chances `%.40s`: a whole number from 2 to %d is wanted\n", text, THAW_CHANCES_MOST);
        return false;
    }
    out->chances = (int)n;
    return true;
}

static bool set_frames(const char *text, options *out)
{
    uint64_t n = 0;
    if (!parse_whole(text, &n) || n == 1 || n > THAW_PREVIEW_MOST_FRAMES) {
        fprintf(stderr, "thawprint: --frames `%.40s`: 0 or a whole number from 2 to %d is wanted\n", text, THAW_PREVIEW_MOST_FRAMES);
        return false;
    }
    out->frames = (int)n;
    return true;
}

static bool set_part(const char *text, options *out)
{
    char first[24];
    const char *slash = strchr(text, '/');
    uint64_t part = 0, n = 0;
    snprintf(first, sizeof first, "%.*s", slash ? (int)(slash - text) : 0, text);
    if (!slash || !parse_whole(first, &part) || !parse_whole(slash + 1, &n) || part < 1 || part > n || n > THAW_CHANCES_MOST) {
        fprintf(stderr, "thawprint: --part `%.40s`: K/N is wanted, K from 1 to N, as 2/3\n", text);
        return false;
    }
    out->part = (int)part;
    out->n_parts = (int)n;
    return true;
}

static bool set_seed(const char *text, options *out)
{
    if (!parse_whole(text, &out->seed)) {
        fprintf(stderr, "thawprint: --seed `%.40s`: a whole number from 0 is wanted\n", text);
        return false;
    }
    out->seed_given = true;
    return true;
}

static bool set_along(const char *text, options *out)
{
    static const char *const words[] = {"warp", "weft"};
    out->along_weft = strcmp(text, words[1]) == 0;
    if (!out->along_weft && strcmp(text, words[0]) != 0) {
        fprintf(stderr, "thawprint: --along `%.40s` is not warp or weft\n", text);
        return false;
    }
    return true;
}

static bool set_detail(const char *text, options *out)
{
    static const char *const words[] = {"draft", "normal", "fine"};
    for (int i = 0; i < 3; i++) {
        if (strcmp(text, words[i]) == 0) {
            out->detail = words[i];
            return true;
        }
    }
    const char *near = thaw_words_nearest(text, words, 3);
    fprintf(stderr, "thawprint: --detail `%.40s` is not draft, normal or fine%s%s%s\n", text,
            near ? "; did you mean `" : "", near ? near : "", near ? "`?" : "");
    return false;
}

/* What a record says, as it was written. */
static const char **record_value(int key, options *out)
{
    thaw_record_options *r = &out->record;
    switch (key) {
    case KEY_MELTED:
        return &r->melted;
    case KEY_RINSED:
        return &r->rinsed;
    case KEY_CLIMBED:
        return &r->climbed;
    case KEY_WHITE:
        return &r->white;
    case KEY_REMARK:
        return &r->remark;
    case KEY_PHOTO:
        return &r->photo;
    case KEY_CORNERS:
        return &r->corners;
    case KEY_WHITE_AT:
        return &r->white_at;
    default:
        return NULL;
    }
}

static bool set_paper(const char *text, options *out)
{
    if (strcmp(text, "a4") != 0 && strcmp(text, "letter") != 0) {
        fprintf(stderr, "thawprint: --paper `%.40s` is not a4 or letter\n", text);
        return false;
    }
    out->paper = text;
    return true;
}

static bool add_wish(const char *text, options *out)
{
    const char *equals = strchr(text, '=');
    if (!equals || equals == text || equals[1] == '\0') {
        fprintf(stderr, "thawprint: --wish `%.60s`: PIECE=WISH is wanted, as sleeve=white\n", text);
        return false;
    }
    if (out->n_wishes == MOST_WISHES) {
        fprintf(stderr, "thawprint: --wish: more than %d\n", MOST_WISHES);
        return false;
    }
    out->wishes[out->n_wishes++] = text;
    return true;
}

static bool set_flag(int key, const char *value, options *out)
{
    const char **recorded = record_value(key, out);
    if (recorded) {
        *recorded = value;
        return true;
    }
    switch (key) {
    case 'h':
        out->help = true;
        return true;
    case 'V':
        out->version = true;
        return true;
    case 'q':
        out->quiet = true;
        return true;
    case 'v':
        out->verbose = true;
        return true;
    case 'n':
        out->dry_run = true;
        return true;
    case 'o':
        out->out_dir = value;
        return true;
    case KEY_ONLY_LUCK:
        out->only_luck = true;
        return true;
    case KEY_WITHOUT_RANGES:
        out->without_ranges = true;
        return true;
    case KEY_VARY:
        if (out->n_vary == 2) {
            fprintf(stderr, "thawprint: --vary: two keys at most\n");
            return false;
        }
        out->vary[out->n_vary++] = value;
        return true;
    case KEY_PATTERN:
        out->pattern = value;
        return true;
    case KEY_PAPER:
        return set_paper(value, out);
    case KEY_ONE_WAY:
        out->one_way = true;
        return true;
    case KEY_WISH:
        return add_wish(value, out);
    case KEY_END:
        out->end = value;
        return true;
    case KEY_SURE:
        out->sure = value;
        return true;
    case KEY_START:
        out->start = value;
        return true;
    case KEY_PACKETS:
        out->packets = value;
        return true;
    case KEY_CHANCES:
        return set_chances(value, out);
    case KEY_PART:
        return set_part(value, out);
    case KEY_FRAMES:
        return set_frames(value, out);
    case KEY_DATE:
        out->date = value;
        return true;
    case KEY_TAKE_OUT:
        out->take_out = true;
        return true;
    case KEY_JSON:
        out->json = true;
        return true;
    case KEY_CLOTHS:
        out->cloths = value;
        return true;
    case KEY_DYES:
        out->dyes = value;
        return true;
    case KEY_SWATCHES:
        out->swatches = value;
        return true;
    case KEY_CLOTH:
        out->cloth = value;
        return true;
    case KEY_KITCHEN:
        out->kitchen = value;
        return true;
    case KEY_NAME:
        out->name = value;
        return true;
    case KEY_WATER:
        out->water = value;
        return true;
    case KEY_ALONG:
        return set_along(value, out);
    case KEY_SEED:
        return set_seed(value, out);
    case KEY_THREADS:
        return set_threads(value, out);
    default:
        return set_detail(value, out);
    }
}

static bool add_operand(const char *word, options *out)
{
    if (out->command == COMMAND_NONE) {
        return choose_command(word, out);
    }
    if (out->n_operands == MOST_OPERANDS) {
        fprintf(stderr, "thawprint: more than %d files\n", MOST_OPERANDS);
        return false;
    }
    out->operands[out->n_operands++] = word;
    return true;
}

/* getopt's view of the table. A leading - hands operands over in order, whatever the environment
 * says; : tells a missing value from an unknown flag. */
static void build_getopt(struct option *longs, char *shorts)
{
    *shorts++ = '-';
    *shorts++ = ':';
    for (int i = 0; i < N_FLAGS; i++) {
        bool takes = FLAGS[i].value != NULL;
        longs[i] = (struct option){FLAGS[i].name, takes ? required_argument : no_argument, NULL,
                                   FLAGS[i].key};
        if (FLAGS[i].key < 256) {
            *shorts++ = (char)FLAGS[i].key;
            if (takes) {
                *shorts++ = ':';
            }
        }
    }
    longs[N_FLAGS] = (struct option){0};
    *shorts = '\0';
}

static bool bad_flag(int key, char **argv)
{
    const flag *known = find_flag(optopt);
    if (key == ':' && known) {
        fprintf(stderr, "thawprint: --%s wants a value: --%s %s\n", known->name, known->name,
                known->value);
        return false;
    }
    if (known && strchr(argv[optind - 1], '=')) {
        fprintf(stderr, "thawprint: --%s takes no value\n", known->name);
        return false;
    }
    char letter[3] = {'-', (char)optopt, '\0'};
    return unknown_flag(optopt > 0 && optopt < 256 ? letter : argv[optind - 1]);
}

static bool check_chances(const options *out)
{
    if (out->command != COMMAND_COMPARE && out->command != COMMAND_PIECES && out->chances == 0 && (out->n_parts > 0 || out->only_luck)) {
        fprintf(stderr, "thawprint: --%s goes with --chances\n", out->n_parts > 0 ? "part" : "only-luck");
        return false;
    }
    if (out->n_parts > 0 && out->json) {
        fprintf(stderr, "thawprint: a part of a set has no figures: --json does not go with --part\n");
        return false;
    }
    return true;
}

/* A flag that is known but means nothing to this command is a mistake as well. */
static bool check_places(const bool *seen, const options *out)
{
    const command *asked = find_command(out->command);
    for (int i = 0; i < N_FLAGS; i++) {
        if (seen[i] && !(FLAGS[i].where & (asked ? asked->bit : NO_COMMAND))) {
            fprintf(stderr, "thawprint: --%s does not belong to %s\n", FLAGS[i].name,
                    asked ? asked->name : "thawprint without a command");
            return false;
        }
    }
    return true;
}

bool options_parse(int argc, char **argv, options *out)
{
    struct option longs[MOST_FLAGS + 1];
    char shorts[3 * MOST_FLAGS + 3];
    bool seen[MOST_FLAGS] = {false};
    build_getopt(longs, shorts);
    *out = (options){.frames = FRAMES_NOT_GIVEN};
    opterr = 0;
    for (int key; (key = getopt_long(argc, argv, shorts, longs, NULL)) != -1;) {
        if (key == '?' || key == ':') {
            return bad_flag(key, argv);
        }
        if (key == 1) {
            if (!add_operand(optarg, out)) {
                return false;
            }
            continue;
        }
        seen[find_flag(key) - FLAGS] = true;
        if (!set_flag(key, optarg, out)) {
            return false;
        }
    }
    for (; optind < argc; optind++) { /* behind -- */
        if (!add_operand(argv[optind], out)) {
            return false;
        }
    }
    return check_places(seen, out) && check_chances(out);
}
