#include "print_ready.hpp"

#include <slotwitness/marked/legible.hpp>
#include <slotwitness/marked/wrapped.hpp>

#include <algorithm>
#include <set>
#include <string_view>
#include <utility>
#include <vector>

namespace slotwitness::program {

namespace {

using ready::Finding;
using ready::Judged;
using ready::Weight;
using witness::Truth;

constexpr std::size_t columns = 80;

std::size_t width_of(std::string_view text) {
    return marked::legible(text).width;
}

void print_wrapped(std::ostream& out, std::string_view first, std::string_view text) {
    out << marked::wrapped(first, text, columns);
}

std::string padded(std::string text, std::size_t width) {
    text.resize(std::max(width, text.size()), ' ');
    return text;
}

template <class Texts>
std::string joined(const Texts& texts) {
    std::string all;
    for (const auto& text : texts)
        all += (all.empty() ? "" : "; ") + text;
    return all;
}

void drop_last_character(std::string& text) {
    while (!text.empty() && (text.back() & 0xC0) == 0x80)
        text.pop_back();
    if (!text.empty())
        text.pop_back();
}

/// One line of the terminal, as far as it goes.
void print_cut(std::ostream& out, std::string line) {
    const bool fits = width_of(line) <= columns;
    while (!fits && width_of(line) >= columns)
        drop_last_character(line);
    out << line << (fits ? "" : "…") << '\n';
}

constexpr std::size_t most_cites = 4;

void print_cites(std::ostream& out, const std::vector<witness::Cite>& cites,
                 const std::string& indent) {
    std::size_t shown = 0;
    std::set<std::pair<std::string_view, std::size_t>> lines; // one may tell several facts
    for (const witness::Cite& cite : cites) {
        if (cite.text.empty() || !lines.emplace(cite.asking, cite.at.line).second)
            continue;
        if (shown++ == most_cites) {
            out << indent << "… and more: --json has them all\n";
            return;
        }
        print_cut(out, indent + cite.asking + ":" + std::to_string(cite.at.line) + "  " +
                           marked::legible(cite.text).text);
    }
}

void print_finding(std::ostream& out, const Finding& finding, const std::string& mark) {
    const std::string indent(mark.size(), ' ');
    print_wrapped(out, mark, finding.about);
    print_wrapped(out, indent, finding.says);
    print_cites(out, finding.cites, indent + "  ");
    if (!finding.needed_by.empty())
        print_wrapped(out, indent + "needed by  ", joined(finding.needed_by));
    print_wrapped(out, indent + "do         ", finding.remedy);
    out << '\n';
}

std::string held_up(std::size_t count) {
    if (count == 0)
        return "Nothing that this look found holds the work up";
    return std::to_string(count) + (count == 1 ? " thing holds" : " things hold") + " the work up";
}

void print_findings(std::ostream& out, const ready::Report& report) {
    out << held_up(report.count(Weight::holds_up)) << ".\n\n";
    std::size_t number = 0;
    for (const Finding& finding : report.findings)
        if (finding.weight == Weight::holds_up)
            print_finding(out, finding, padded(std::to_string(++number) + ".", 4));
    if (report.count(Weight::advice) != 0)
        out << "Advice\n\n";
    for (const Finding& finding : report.findings)
        if (finding.weight == Weight::advice)
            print_finding(out, finding, "-   ");
}

std::string counted(std::size_t count, const std::string& one) {
    return std::to_string(count) + " " + one + (count == 1 ? "" : "s");
}

std::string outcome_of(const ready::Tried& tried) {
    const auto* answer = std::get_if<ready::Answer>(&tried.came);
    if (answer == nullptr)
        return "no answer";
    const std::size_t unread = answer->reading->unread.size();
    return (answer->ending.complete() ? "whole, " : "not whole, ") +
           counted(answer->reading->rows.size(), "row") +
           (unread == 0 ? "" : ", " + counted(unread, "line") + " unread");
}

void print_as_needed(std::ostream& out, const ready::Report& report) {
    std::vector<const Finding*> found;
    std::size_t widest = 0;
    for (const Finding& finding : report.findings)
        if (finding.weight == Weight::as_needed) {
            found.push_back(&finding);
            widest = std::max(widest, width_of(finding.about));
        }
    if (found.empty())
        return;
    out << "As needed\n";
    for (const Finding* finding : found)
        print_wrapped(out, "  " + padded(finding->about, widest + 2), finding->says);
    out << '\n';
}

void print_queries(std::ostream& out, const ready::Look& look) {
    if (look.tried.empty())
        return;
    std::size_t widest = 0;
    for (const ready::Tried& tried : look.tried)
        widest = std::max(widest, width_of(tried.request));
    out << "Asked once, in a session of its own\n";
    for (const ready::Tried& tried : look.tried)
        out << "  " << padded(tried.request, widest + 2) << padded(units::to_text(tried.took), 12)
            << outcome_of(tried) << '\n';
    out << '\n';
}

std::string_view now(Truth truth) {
    switch (truth) {
    case Truth::yes:
        return "so now";
    case Truth::no:
        return "not so";
    case Truth::unknown:
        return "not known";
    }
    return "not known";
}

void print_judged(std::ostream& out, std::string_view title, const std::vector<Judged>& judged) {
    if (judged.empty())
        return;
    out << title << '\n';
    for (const Judged& each : judged) {
        const std::string truth = "  " + padded(std::string(now(each.judgement.truth)), 11);
        const std::string of = "(" + joined(each.of) + ")";
        if (width_of(truth + each.condition + "  " + of) <= columns) {
            out << truth << each.condition << "  " << of << '\n';
            continue;
        }
        print_wrapped(out, truth, each.condition);
        print_wrapped(out, std::string(truth.size(), ' '), of);
    }
    out << '\n';
}

} // namespace

void print_ready(std::ostream& out, const ready::Work& work, const ready::Look& look,
                 const ready::Report& report) {
    print_wrapped(out, work.chassis.name + ": ", work.procedure.procedure.title);
    out << "One look, begun " << units::to_rfc3339(look.at) << ".\n\n";
    print_findings(out, report);
    print_as_needed(out, report);
    print_queries(out, look);
    print_judged(out, "What must be so before the work begins", report.now);
    print_judged(out, "What the work waits for later, and may bring about itself", report.later);
    out << "What this check cannot see\n";
    for (const std::string& each : report.cannot_see)
        print_wrapped(out, "  - ", each);
    out << '\n';
    std::vector<std::string> held;
    for (const Finding& finding : report.findings)
        if (finding.weight == Weight::holds_up)
            held.push_back(finding.about);
    print_wrapped(out, "", held_up(held.size()) + (held.empty() ? "." : ": " + joined(held) + "."));
    print_wrapped(out, "",
                  "This reports what the device says; it gives no permission. The manufacturer's "
                  "instructions, your site's rules and local codes come first.");
}

} // namespace slotwitness::program
