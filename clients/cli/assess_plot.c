/* assess --plot: one animal's series as an SVG chart, drawn for its size and readable without colour. */
#include "assess.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { WIDTH = 900, HEIGHT = 340, LEFT = 64, RIGHT = 770, TOP = 62, BOTTOM = 286, THREAD = 44 };

typedef struct {
    double x0, x1, y0, y1; /* days and grams at the edges */
} frame;

static const char *const tones[] = {"#14231c", "#3159a4", "#5a2391", "#850960", "#6a041e"};
static const char *const months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                     "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

bool gw_plot_add(gw_plot *plot, const gw_trend_weighing *weighing, const gw_finding *finding)
{
    if (plot->n == plot->room) {
        size_t room = plot->room ? plot->room * 2 : 64;
        gw_plot_point *more = realloc(plot->points, room * sizeof *more);
        if (!more) return false;
        plot->points = more;
        plot->room = room;
    }
    gw_plot_point *p = &plot->points[plot->n++];
    gw_kind kind;
    *p = (gw_plot_point){.at = weighing->at, .grams = weighing->grams, .verdict = finding->verdict};
    gw_finding_level(finding, &p->level, &kind);
    return true;
}

/* Text of the document: markup escaped, what XML 1.0 does not allow left out as "?". */
static void put_text(FILE *out, const char *text)
{
    for (const unsigned char *c = (const unsigned char *)text; *c; c++) {
        bool noncharacter = c[0] == 0xef && c[1] == 0xbf && c[2] >= 0xbe;
        if (*c == '<')
            fputs("&lt;", out);
        else if (*c == '>')
            fputs("&gt;", out);
        else if (*c == '&')
            fputs("&amp;", out);
        else if (*c == '"')
            fputs("&quot;", out);
        else if ((*c < 0x20 && *c != '\t' && *c != '\n') || noncharacter)
            putc('?', out);
        else
            putc(*c, out);
        if (noncharacter) c += 2;
    }
}

static bool aside(const gw_plot_point *p)
{
    return p->verdict.quality == GW_QUALITY_SET_ASIDE;
}

static double x_of(const frame *f, double at)
{
    return LEFT + (RIGHT - LEFT) * (at - f->x0) / (f->x1 - f->x0);
}

static double y_of(const frame *f, double grams)
{
    double y = BOTTOM - (BOTTOM - TOP) * (grams - f->y0) / (f->y1 - f->y0);
    return y < TOP + 6 ? TOP + 6 : y > BOTTOM - 10 ? BOTTOM - 10 : y;
}

static void reach(frame *f, double grams)
{
    if (!isfinite(grams)) return;
    if (!(grams >= f->y0)) f->y0 = grams;
    if (!(grams <= f->y1)) f->y1 = grams;
}

/* Everything that counts, and never less than -7 to +5 % of the own level, so that noise does not look like drama. */
static frame frame_of(const gw_plot *plot)
{
    frame f = {plot->points[0].at, plot->points[plot->n - 1].at, NAN, NAN};
    for (size_t i = 0; i < plot->n; i++) {
        const gw_plot_point *p = &plot->points[i];
        if (aside(p)) continue;
        reach(&f, p->grams);
        if (p->verdict.low > 0.7 * p->grams) reach(&f, p->verdict.low);
        if (p->verdict.high < 1.4 * p->grams) reach(&f, p->verdict.high);
    }
    if (isnan(f.y0)) f.y0 = f.y1 = plot->points[0].grams;
    double own = plot->points[plot->n - 1].verdict.own_level, middle = own > 0 ? own : 0.5 * (f.y0 + f.y1);
    reach(&f, 0.93 * middle);
    reach(&f, 1.05 * middle);
    double air = 0.1 * (f.y1 - f.y0);
    f.y0 -= air;
    f.y1 += 0.5 * air;
    if (f.x1 - f.x0 < 7) f.x0 = f.x1 - 7;
    return f;
}

/* Year, month and day of a count of days since 1970 (proleptic Gregorian; eras of 400 years). */
static void date_of(double at, int *year, int *month, int *day)
{
    long days = (long)floor(at) + 719468, era = (days >= 0 ? days : days - 146096) / 146097;
    long in_era = days - era * 146097;
    long of_era = (in_era - in_era / 1460 + in_era / 36524 - in_era / 146096) / 365;
    long in_year = in_era - (365 * of_era + of_era / 4 - of_era / 100);
    long m = (5 * in_year + 2) / 153;
    *day = (int)(in_year - (153 * m + 2) / 5 + 1);
    *month = (int)(m < 10 ? m + 3 : m - 9);
    *year = (int)(of_era + era * 400 + (*month <= 2));
}

/* The band of the engine, in one piece for each run of weighings that had one. */
static void put_band(FILE *out, const gw_plot *plot, const frame *f)
{
    for (size_t i = 0, end; i < plot->n; i = end) {
        for (end = i; end < plot->n && isfinite(plot->points[end].verdict.low); end++) continue;
        if (end - i < 2) {
            end += end == i;
            continue;
        }
        fputs("<path class=\"band\" d=\"M", out);
        for (size_t k = i; k < end; k++)
            fprintf(out, "%.1f %.1f ", x_of(f, plot->points[k].at), y_of(f, plot->points[k].verdict.high));
        fputc('L', out);
        for (size_t k = end; k-- > i;)
            fprintf(out, "%.1f %.1f ", x_of(f, plot->points[k].at), y_of(f, plot->points[k].verdict.low));
        fputs("Z\"/>\n", out);
    }
}

static void put_axes(FILE *out, const frame *f)
{
    double span = f->y1 - f->y0, step = pow(10, floor(log10(span)));
    while (span / step < 4) step /= 2;
    while (span / step > 7) step *= 2;
    fprintf(out, "<path class=\"axis\" d=\"M%d %dV%dH%d\"/>\n", LEFT - 6, TOP, BOTTOM, RIGHT);
    for (double g = ceil(f->y0 / step) * step; g <= f->y1; g += step)
        fprintf(out,
                "<path class=\"axis\" d=\"M%d %.1fh-5\"/><text class=\"soft\" text-anchor=\"end\" x=\"%d\" "
                "y=\"%.1f\">%.*f</text>\n",
                LEFT - 6, y_of(f, g), LEFT - 15, y_of(f, g) + 4.5,
                step < 1   ? 2
                : step < 5 ? 1
                           : 0,
                g);
    int months_shown = (int)((f->x1 - f->x0) / 30.4), every = 1 + months_shown / 10, count = 0;
    double last = -100;
    for (double at = floor(f->x0); at <= f->x1; at++) {
        int year, month, day;
        date_of(at, &year, &month, &day);
        bool edge = at + 1 > f->x1 || (at == floor(f->x0) && months_shown == 0);
        if (day != 1 && !edge) continue;
        double x = x_of(f, at);
        fprintf(out, "<path class=\"axis\" d=\"M%.1f %dv%d\"/>\n", x, BOTTOM, edge ? 5 : 9);
        if ((edge || count++ % every == 0) && x - last > 48 && (edge || RIGHT - x > 110)) {
            if (edge)
                fprintf(out, "<text text-anchor=\"end\" x=\"%.1f\" y=\"%d\">%d %s %d</text>\n", x, BOTTOM + 24, day,
                        months[month - 1], year);
            else
                fprintf(out, "<text class=\"soft\" text-anchor=\"middle\" x=\"%.1f\" y=\"%d\">%s</text>\n", x,
                        BOTTOM + 24, months[month - 1]);
            last = x;
        }
    }
}

/* The weighings that count, joined; a gap is dotted, a weighing that was set aside breaks the line. */
static void put_line(FILE *out, const gw_plot *plot, const frame *f)
{
    const gw_plot_point *before = NULL;
    bool broken = false;
    for (size_t i = 0; i < plot->n; i++) {
        const gw_plot_point *p = &plot->points[i];
        if (aside(p)) {
            broken = true;
            continue;
        }
        if (before)
            fprintf(out, "<path class=\"%s\" d=\"M%.1f %.1fL%.1f %.1f\"/>\n",
                    broken || p->at - before->at > 13.3 ? "gap" : "line", x_of(f, before->at), y_of(f, before->grams),
                    x_of(f, p->at), y_of(f, p->grams));
        before = p;
        broken = false;
    }
}

/* Round stays at home, a wedge goes to the vet, more ink means sooner. */
static void put_mark(FILE *out, gw_level level, double x, double y)
{
    static const char *const shapes[] = {
        "<circle cx=\"6\" cy=\"6\" r=\"4.25\"/>",
        "<circle cx=\"6\" cy=\"6\" r=\"4.25\"/><path class=\"full\" d=\"M1.75 6h8.5a4.25 4.25 0 0 1-8.5 0z\"/>",
        "<path d=\"M1.1 1.7h9.8L6 10.6z\"/>",
        "<path class=\"full\" d=\"M.9 1.5h10.2L6 10.9z\"/>",
        "<path class=\"full\" fill-rule=\"evenodd\" d=\"M.25.25h11.5v11.5H.25zM2.6 3h6.8L6 9.6z\"/>",
    };
    fprintf(out,
            "<g class=\"mark\" data-level=\"%s\" fill=\"#f2f4e8\" stroke=\"%s\" color=\"%s\" stroke-width=\"1.5\" "
            "transform=\"translate(%.1f %.1f)\"><title>%s</title>%s</g>\n",
            gw_level_name(level), tones[level], tones[level], x - 6, y - 6, gw_level_name(level), shapes[level]);
}

static void put_points(FILE *out, const gw_plot *plot, const frame *f)
{
    for (size_t i = 0; i < plot->n; i++) {
        const gw_plot_point *p = &plot->points[i];
        double x = x_of(f, p->at), y = y_of(f, p->grams);
        if (aside(p)) {
            bool above = p->grams > f->y1, below = p->grams < f->y0;
            fprintf(out, "<circle class=\"aside\" cx=\"%.1f\" cy=\"%.1f\" r=\"4\"/>", x, y);
            fprintf(out, "<text class=\"soft\" x=\"%.1f\" y=\"%.1f\">%s%.10g g</text>\n", x + 8, y + 4.5,
                    above   ? "\xe2\x86\x91 "
                    : below ? "\xe2\x86\x93 "
                            : "",
                    p->grams);
            continue;
        }
        bool doubt = p->verdict.quality == GW_QUALITY_REWEIGH;
        fprintf(out, "<circle class=\"%s\" cx=\"%.1f\" cy=\"%.1f\" r=\"%s\"/>\n", doubt ? "doubt" : "dot", x, y,
                doubt ? "3.5" : "2.6");
        if (p->level == GW_LEVEL_STEADY) continue;
        fprintf(out, "<path class=\"drop\" d=\"M%.1f %dV%.1f\"/>", x, THREAD + 7, y);
        put_mark(out, p->level, x, THREAD);
    }
}

static void put_last(FILE *out, const gw_plot *plot, const frame *f)
{
    const gw_plot_point *last = NULL;
    for (size_t i = plot->n; i-- > 0 && !last;)
        if (!aside(&plot->points[i])) last = &plot->points[i];
    if (!last) return;
    double x = x_of(f, last->at), y = y_of(f, last->grams), own = last->verdict.own_level;
    fprintf(out, "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"4.2\" fill=\"%s\"/>\n", x, y, tones[last->level]);
    fprintf(out, "<text class=\"last\" x=\"%d\" y=\"%.1f\">%.10g g</text>\n", RIGHT + 12, y + 5, last->grams);
    if (!(own > 0)) return;
    double y_own = y_of(f, own);
    fprintf(out, "<path class=\"own\" d=\"M%d %.1fH%d\"/>\n", LEFT, y_own, RIGHT);
    if (fabs(y_own - y) > 14 && fabs(y_own - (y + 18)) > 14)
        fprintf(out, "<text class=\"soft\" x=\"%d\" y=\"%.1f\">own level</text>\n", RIGHT + 12, y_own + 4.5);
    double pct = last->verdict.change_pct;
    fprintf(out, "<text class=\"pct\" style=\"fill:%s\" x=\"%d\" y=\"%.1f\">%s%.1f%%</text>\n", tones[last->level],
            RIGHT + 12, y + 23, pct < 0 ? "\xe2\x88\x92" : "+", fabs(pct));
}

void gw_plot_write(FILE *out, const gw_plot *plot)
{
    frame f = frame_of(plot);
    size_t alerts = 0, set_aside = 0;
    for (size_t i = 0; i < plot->n; i++) {
        set_aside += aside(&plot->points[i]);
        alerts += !aside(&plot->points[i]) && plot->points[i].level > GW_LEVEL_STEADY;
    }
    fprintf(out,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%d\" height=\"%d\" viewBox=\"0 0 %d %d\" role=\"img\" "
            "aria-labelledby=\"title desc\">\n<title id=\"title\">",
            WIDTH, HEIGHT, WIDTH, HEIGHT);
    put_text(out, plot->name);
    fprintf(out, ", weight over %.0f weeks</title>\n", ceil((plot->points[plot->n - 1].at - plot->points[0].at) / 7));
    fprintf(out,
            "<desc id=\"desc\">From %.10g g to %.10g g in %zu weighings, %zu of them set aside; %zu above steady. "
            "This is not a diagnosis.</desc>\n",
            plot->points[0].grams, plot->points[plot->n - 1].grams, plot->n, set_aside, alerts);
    fputs("<style>text{font:13px system-ui,sans-serif;fill:#14231c}.soft{fill:#48574c}.last{font-size:17px;"
          "font-weight:700}.pct{font-size:14px;font-weight:700}.name{font:600 18px serif}"
          ".band{fill:#c7dab8;stroke:#6a7b6d;stroke-width:.75}.axis{fill:none;stroke:#6a7b6d}"
          ".own{stroke:#48574c}.line{stroke:#14231c;stroke-width:1.25}"
          ".gap{stroke:#14231c;stroke-width:1.25;stroke-dasharray:2 3}.drop{stroke:#48574c;stroke-dasharray:2 2}"
          ".dot{fill:#14231c}.doubt,.aside{fill:#f2f4e8;stroke:#14231c;stroke-width:1.5}"
          ".thread{stroke:#d292ad;stroke-width:1.5}.full{fill:currentColor}</style>\n",
          out);
    fprintf(out, "<rect width=\"%d\" height=\"%d\" fill=\"#f2f4e8\"/>\n<text class=\"name\" x=\"%d\" y=\"26\">", WIDTH,
            HEIGHT, LEFT);
    put_text(out, plot->name);
    fputs("</text>\n", out);
    put_band(out, plot, &f);
    put_axes(out, &f);
    fprintf(out, "<path class=\"thread\" d=\"M%d %dH%d\"/>\n", LEFT, THREAD, RIGHT);
    put_line(out, plot, &f);
    put_points(out, plot, &f);
    put_last(out, plot, &f);
    fputs("</svg>\n", out);
}

void gw_plot_finish(gw_plot *plot)
{
    free(plot->points);
}
