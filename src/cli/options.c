#include "options.h"

#include <getopt.h>
#include <stdio.h>
#include <string.h>

#include <thawprint/chances.h>
#include <thawprint/words.h>

/* Where a flag belongs. */
enum { P = 1, C = 2, L = 4, NO_COMMAND = 8, G = 16, V = 32, STRIP = 64, RECORD = 128, LEARN = 256, PIECES = 512, NOTEBOOK = 1024,
       BORDER = 2048, SUPPLIES = 4096 };

enum { KEY_SEED = 256, KEY_THREADS, KEY_DETAIL, KEY_JSON, KEY_CLOTHS, KEY_DYES, KEY_SWATCHES, KEY_CLOTH, KEY_CHANCES,
       KEY_PART, KEY_ONLY_LUCK, KEY_VARY, KEY_WITHOUT_RANGES, KEY_PATTERN, KEY_PAPER, KEY_WISH, KEY_ONE_WAY,
       KEY_START, KEY_PACKETS, KEY_END, KEY_SURE, KEY_FRAMES, KEY_DATE, KEY_TAKE_OUT, KEY_NAME, KEY_WATER, KEY_ALONG,
       KEY_MELTED, KEY_RINSED, KEY_CLIMBED, KEY_WHITE, KEY_REMARK, KEY_PHOTO, KEY_CORNERS, KEY_WHITE_AT, KEY_KITCHEN };

static const struct flag {
    const char *name;
    int key; /* the short letter, if below 256 */
    const char *value;
    int where;
    const char *help;
} FLAGS[] = {
    {"help", 'h', NULL, P | C | L | G | V | STRIP | RECORD | PIECES | NOTEBOOK | LEARN | BORDER | SUPPLIES | NO_COMMAND, "show this help"},
    {"version", 'V', NULL, P | C | L | G | V | STRIP | RECORD | PIECES | NOTEBOOK | LEARN | BORDER | SUPPLIES | NO_COMMAND, "show the version"},
    {"quiet", 'q', NULL, P | C | G | V | STRIP | RECORD | PIECES | NOTEBOOK | LEARN | BORDER | SUPPLIES, "print only the folder, or only faults"},
    {"verbose", 'v', NULL, P | L, "print more: water, heat, soda and dye ledgers; or each figure's source"},
    {"output", 'o', "DIR", P | G | V | STRIP | PIECES | NOTEBOOK | LEARN | BORDER | SUPPLIES, "folder for the files (default: under out/, named after the scenario); of a notebook the page"},
    {"dry-run", 'n', NULL, P | PIECES, "show every resolved value, grid, memory and time (pieces: whether all fits); run nothing"},
    {"seed", KEY_SEED, "N", P | C | V | PIECES | NOTEBOOK | BORDER | SUPPLIES, "another roll of the dice (whole number)"},
    {"threads", KEY_THREADS, "N", P | G | V | PIECES | NOTEBOOK | LEARN | BORDER | SUPPLIES, "threads, 1 to 64 (default: all); the result is the same"},
    {"detail", KEY_DETAIL, "WORD", P | C | V | PIECES | NOTEBOOK | BORDER | SUPPLIES, "draft, normal or fine: cells of 4, 2 or 1 mm"},
    {"cloths", KEY_CLOTHS, "FILE", P | C | L | V | STRIP | PIECES | NOTEBOOK | BORDER | SUPPLIES, "cloths of your own (default: cloths.yaml beside the scenario)"},
    {"dyes", KEY_DYES, "FILE", P | C | L | V | PIECES | NOTEBOOK | BORDER | SUPPLIES, "dyes and mixtures of your own (default: dyes.yaml beside it)"},
    {"kitchen", KEY_KITCHEN, "FILE", P | C | V | PIECES | NOTEBOOK | BORDER | SUPPLIES, "what `learn` found of your kitchen; applied only if named, and said so"},
    {"swatches", KEY_SWATCHES, "FILE", L, "draw all colours at four depths as a PNG"},
    {"cloth", KEY_CLOTH, "NAME", L | STRIP, "cloth of the swatches (default: cotton twill); cloth that the strip is like"},
    {"name", KEY_NAME, "NAME", STRIP, "what to call your cloth (default: my and the name after --cloth)"},
    {"water", KEY_WATER, "TEMP", STRIP, "how warm the water was, as '12 degC' (default: 20 degC)"},
    {"along", KEY_ALONG, "WORD", STRIP, "warp or weft: which way the strip was cut (default: warp)"},
    {"melted", KEY_MELTED, "TIME", RECORD, "when the last ice was gone, as '6 h'"},
    {"rinsed", KEY_RINSED, "TIME", RECORD, "when it was rinsed, as '20 h'"},
    {"climbed", KEY_CLIMBED, "LENGTH", RECORD, "how far dye got beyond the ice along cloth that hung, as '35 cm'"},
    {"white", KEY_WHITE, "SHARE", RECORD, "how much of the dry cloth looks undyed, as '12 %'"},
    {"remark", KEY_REMARK, "TEXT", RECORD, "whatever you want to remember; again adds a line"},
    {"photo", KEY_PHOTO, "FILE", RECORD, "a JPEG or PNG of the dry cloth"},
    {"corners", KEY_CORNERS, "PLACES", RECORD, "x,y of the cloth's corners in it: top left, top right, bottom right, bottom left"},
    {"white-at", KEY_WHITE_AT, "PLACE", RECORD, "x,y of undyed cloth in it, to balance its colours"},
    {"chances", KEY_CHANCES, "N", P | V | PIECES | NOTEBOOK | BORDER | SUPPLIES, "N throws of the dice, inputs as unsure as they are: typical outcome, others, maps"},
    {"only-luck", KEY_ONLY_LUCK, NULL, P | V | PIECES | NOTEBOOK | SUPPLIES, "with --chances: only the dice differ, not room, ice, cloth and dye"},
    {"without-ranges", KEY_WITHOUT_RANGES, NULL, P | NOTEBOOK, "leave out the runs behind the ranges in brackets: faster"},
    {"start", KEY_START, "TIME", SUPPLIES, "when you begin, as \"Sat 09:00\": the timetable is told by the clock"},
    {"packets", KEY_PACKETS, "LIST", SUPPLIES, "sizes you can buy, with prices if you like: \"10 g = 3.20, 25 g = 6.90\""},
    {"end", KEY_END, "HEIGHT", BORDER, "where the dye is to end, along the cloth from its dyed end: \"40 cm\""},
    {"sure", KEY_SURE, "SHARE", BORDER, "how sure it is to end there or before: 50 % to 95 % (default: 80 %)"},
    {"part", KEY_PART, "K/N", P, "with --chances: run the K-th of N parts only; `gather` joins them"},
    {"frames", KEY_FRAMES, "N", P | NOTEBOOK, "N pictures of the melt through time, up to 48; 0: none (notebook: 24)"},
    {"date", KEY_DATE, "TEXT", NOTEBOOK, "date on the page (default: today; none: a line to write it on)"},
    {"take-out", KEY_TAKE_OUT, NULL, NOTEBOOK, "write the scenario that a page holds into the folder -o"},
    {"pattern", KEY_PATTERN, "FILE", PIECES, "the pattern: YAML, or an SVG drawing at real size"},
    {"wish", KEY_WISH, "PIECE=WISH", PIECES, "white, coloured, hem, even, match, a colour or #rrggbb; once for each piece"},
    {"paper", KEY_PAPER, "WORD", PIECES, "a4 or letter (default: a4)"},
    {"one-way", KEY_ONE_WAY, NULL, PIECES, "nap or print: lay all pieces the same way up"},
    {"json", KEY_JSON, NULL, P | G | V | STRIP | RECORD | PIECES | NOTEBOOK | LEARN | BORDER | SUPPLIES, "print the figures as JSON"},
};
#define N_FLAGS ((int)(sizeof FLAGS / sizeof FLAGS[0]))

static const struct command {
    const char *name;
    command_id id;
    int bit;
    const char *does, *operands, *examples;
} COMMANDS[] = {
    {"preview", COMMAND_PREVIEW, P, "one scenario -> pictures, melt time, figures", "[SCENARIO]",
     "  thawprint preview                                the built-in demo\n"
     "  thawprint preview scenarios/moon-scarf.yaml      one scenario\n"
     "  thawprint preview --seed 8 -o out/again my.yaml  another roll of the dice\n"
     "  thawprint preview -n my.yaml                     what would be run\n"
     "  thawprint preview --chances 24 --detail draft my.yaml   what is sure and what is luck\n"},
    {"compare", COMMAND_COMPARE, V, "scenarios side by side: what a choice changes, and what is chance", "SCENARIO...",
     "  thawprint compare one.yaml two.yaml                        two recipes\n"
     "  thawprint compare my.yaml --vary ice.kind=crushed,block    one recipe, one thing varied\n"
     "  thawprint compare my.yaml --vary 'fold.scrunch.to=30 %,60 %' --vary ice.kind=crushed,block --chances 12\n"},
    {"pieces", COMMAND_PIECES, PIECES, "pattern pieces on the forecast cloth, each where it suits best", "SCENARIO --pattern FILE",
     "  thawprint pieces my.yaml --pattern gown.yaml              lay, pages to print, a picture of each piece\n"
     "  thawprint pieces my.yaml --pattern gown.yaml -n           does it fit?\n"
     "  thawprint pieces my.yaml --pattern gown.svg --wish sleeve=white --wish skirt=hem --paper letter\n"
     "A pattern in YAML (docs/pieces.md tells all of it, `thawprint list wishes` what one may wish):\n"
     "  unit: cm                 # or mm, in; corners go right and down, the grain runs up and down, the hem is below\n"
     "  seam-allowance: 1 cm     # if it is not in the outlines\n"
     "  pieces:\n"
     "    - { piece: skirt, outline: [[0, 0], [12, 0], [20, 45], [0, 45]], on-fold: left, wish: hem }\n"
     "    - { piece: sleeve, rectangle: [24, 30], cut: 2, mirrored: yes, wish: [white, match] }\n"
     "    - { piece: waistband, rectangle: [4, 40], grain: crosswise }\n"},
    {"notebook", COMMAND_NOTEBOOK, NOTEBOOK, "one page for the project notebook, to keep and to print", "SCENARIO | FOLDER",
     "  thawprint notebook my.yaml                       run it, and make out/my/notebook.html\n"
     "  thawprint notebook out/my                        from what preview wrote there\n"
     "  thawprint notebook --chances 12 -o page.html my.yaml\n"
     "  thawprint notebook --take-out page.html -o again the scenario back from a page\n"},
    {"border", COMMAND_BORDER, BORDER, "how far up hanging cloth the ice may reach, so that dye ends at a wanted height", "SCENARIO",
     "  thawprint border --end \"40 cm\" my.yaml               no farther than 40 cm, in 80 of 100 cases\n"
     "  thawprint border --end \"16 in\" --sure \"90 %\" my.yaml  in 90 of 100 cases\n"
     "  thawprint border --end \"40 cm\" --chances 40 my.yaml  from more runs: slower, surer\n\n"
     "Heights are measured along the cloth from its dyed end, which lies under the ice; the rest hangs: in the file\n"
     "`hang: { from: 25 cm, up: 15 cm, down: 10 cm }`. Takes a few minutes.\n"},
    {"supplies", COMMAND_SUPPLIES, SUPPLIES, "what to weigh out and when to do what, with cautions", "SCENARIO",
     "  thawprint supplies my.yaml                         what to buy and weigh, how long it takes\n"
     "  thawprint supplies --start \"Sat 09:00\" my.yaml     the same by the clock\n"
     "  thawprint supplies --packets \"10 g = 3.20, 25 g = 6.90\" my.yaml\n"
     "  thawprint supplies --chances 24 --detail draft my.yaml   times as `preview --chances 24` has them\n"},
    {"gather", COMMAND_GATHER, G, "join parts of a set of chances that ran apart", "FOLDER...",
     "  thawprint preview --chances 24 --part 1/2 -o out/a my.yaml    on one machine\n"
     "  thawprint preview --chances 24 --part 2/2 -o out/b my.yaml    on another\n"
     "  thawprint gather out/a out/b -o out/both\n"},
    {"strip", COMMAND_STRIP, STRIP, "readings of a wicking strip test -> your own cloth", "READINGS",
     "  thawprint strip readings.csv --cloth 'cotton single jersey'       what yours is most like\n"
     "  thawprint strip readings.csv --cloth linen --name 'sail canvas' --water '12 degC' --along weft\n"},
    {"record", COMMAND_RECORD, RECORD, "what really happened, kept beside the forecast", "FOLDER",
     "  thawprint record out/moon-scarf --melted '6 h' --rinsed '20 h' --white '12 %'\n"
     "  thawprint record out/moon-scarf --photo scarf.jpg --corners 120,80,1900,95,1870,1480,140,1450 --white-at 2010,300\n"
     "  thawprint record out/moon-scarf                  forecast beside what was recorded\n"},
    {"learn", COMMAND_LEARN, LEARN, "recorded runs -> what your own kitchen does otherwise", "FOLDER...",
     "  thawprint learn out/moon-scarf out/gull-cloth out/starfish    writes out/kitchen/kitchen.yaml\n"
     "  thawprint preview --kitchen out/kitchen/kitchen.yaml my.yaml  uses it, and says so\n"},
    {"check", COMMAND_CHECK, C, "check scenarios and show every resolved value", "SCENARIO...",
     "  thawprint check my.yaml                one scenario\n"
     "  thawprint check -q scenarios/*.yaml    only faults\n"},
    {"list", COMMAND_LIST, L, "cloths, fibres, colours, dyes, ices, folds, areas, shapes, set-ups, wishes", "[WHAT...]",
     "  thawprint list            everything\n"
     "  thawprint list colours    one table\n"
     "  thawprint list -v cloths  each figure with unit, condition and source\n"
     "  thawprint list colours --swatches card.png --cloth 'silk habotai'\n"},
};
#define N_COMMANDS ((int)(sizeof COMMANDS / sizeof COMMANDS[0]))

static const struct command *find_command(command_id id)
{
    for (int i = 0; i < N_COMMANDS; i++) {
        if (COMMANDS[i].id == id) {
            return &COMMANDS[i];
        }
    }
    return NULL;
}

static void print_flag(const struct flag *flag)
{
    char left[40], letter[8] = "    ";
    if (flag->key < 256) {
        snprintf(letter, sizeof letter, "-%c, ", flag->key);
    }
    snprintf(left, sizeof left, "%s--%s%s%s", letter, flag->name, flag->value ? " " : "",
             flag->value ? flag->value : "");
    printf("  %-22s %s\n", left, flag->help);
}

void options_help(command_id id)
{
    const struct command *command = find_command(id);
    printf("Examples:\n");
    if (command) {
        printf("%s\nUsage: thawprint %s [options] %s\n  %s\n", command->examples, command->name,
               command->operands, command->does);
    } else {
        printf("  thawprint preview                 try it: the built-in demo\n"
               "  thawprint check my.yaml           what a scenario says\n"
               "  thawprint list colours            what it may say\n\n"
               "Usage: thawprint COMMAND [options] SCENARIO\n\nCommands:\n");
        for (int i = 0; i < N_COMMANDS; i++) {
            printf("  %-10s %s\n", COMMANDS[i].name, COMMANDS[i].does);
        }
    }
    printf("\nOptions:\n");
    for (int i = 0; i < N_FLAGS; i++) {
        if (FLAGS[i].where & (command ? command->bit : NO_COMMAND)) {
            print_flag(&FLAGS[i]);
        }
    }
    if (!command) {
        printf("\n`thawprint COMMAND --help` shows the options of a command.\n");
    }
}

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
    const char *names[N_FLAGS];
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
    const char *names[N_COMMANDS];
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

static const struct flag *find_flag(int key)
{
    for (int i = 0; i < N_FLAGS; i++) {
        if (FLAGS[i].key == key) {
            return &FLAGS[i];
        }
    }
    return NULL;
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
    const struct flag *flag = find_flag(optopt);
    if (key == ':' && flag) {
        fprintf(stderr, "thawprint: --%s wants a value: --%s %s\n", flag->name, flag->name,
                flag->value);
        return false;
    }
    if (flag && strchr(argv[optind - 1], '=')) {
        fprintf(stderr, "thawprint: --%s takes no value\n", flag->name);
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
    const struct command *command = find_command(out->command);
    for (int i = 0; i < N_FLAGS; i++) {
        if (seen[i] && !(FLAGS[i].where & (command ? command->bit : NO_COMMAND))) {
            fprintf(stderr, "thawprint: --%s does not belong to %s\n", FLAGS[i].name,
                    command ? command->name : "thawprint without a command");
            return false;
        }
    }
    return true;
}

bool options_parse(int argc, char **argv, options *out)
{
    struct option longs[N_FLAGS + 1];
    char shorts[3 * N_FLAGS + 3];
    bool seen[N_FLAGS] = {false};
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
        const struct flag *flag = find_flag(key);
        seen[flag - FLAGS] = true;
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

void options_want_command(void)
{
    fprintf(stderr, "thawprint: a command is wanted: ");
    for (int i = 0; i < N_COMMANDS; i++) {
        fprintf(stderr, "%s%s", i == 0 ? "" : i + 1 < N_COMMANDS ? ", " : " or ", COMMANDS[i].name);
    }
    fprintf(stderr, "; see `thawprint --help`\n");
}

bool options_command_row(int i, command_row *out)
{
    if (i < 0 || i >= N_COMMANDS) {
        return false;
    }
    *out = (command_row){COMMANDS[i].name, COMMANDS[i].does, COMMANDS[i].operands, COMMANDS[i].examples};
    return true;
}

bool options_flag_row(int i, flag_row *out)
{
    if (i < 0 || i >= N_FLAGS) {
        return false;
    }
    char letter = FLAGS[i].key < 256 ? (char)FLAGS[i].key : '\0';
    *out = (flag_row){FLAGS[i].name, letter, FLAGS[i].value, FLAGS[i].help};
    return true;
}

bool options_flag_fits(int flag, int command)
{
    return (FLAGS[flag].where & (command < 0 ? NO_COMMAND : COMMANDS[command].bit)) != 0;
}
