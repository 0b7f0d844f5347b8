#include "metrics.hpp"

#include "negotiation.hpp"
#include "problem.hpp"

#include <cstdio>
#include <map>
#include <utility>
#include <vector>

namespace slotwitness::api {

namespace {

constexpr std::string_view open_metrics = "application/openmetrics-text";
constexpr std::string_view older_text = "text/plain";

enum class MetricKind { counter, gauge, state_set };

using Labels = std::vector<std::pair<std::string_view, std::string>>;

/// Writes families one after the other. The older format has no sets of states, and names counters
/// with their ending.
class Exposition {
  public:
    explicit Exposition(bool is_open) : is_open_(is_open) {}

    void family(std::string name, MetricKind kind, std::string_view help) {
        name_ = "slotwitness_" + std::move(name);
        ending_ = kind == MetricKind::counter ? "_total" : "";
        const std::string told = is_open_ ? name_ : name_ + ending_;
        text_.append("# TYPE ").append(told).append(" ").append(word(kind)).append("\n");
        text_.append("# HELP ").append(told).append(" ").append(help).append("\n");
    }
    void sample(const Labels& labels, const std::string& value) {
        text_.append(name_).append(ending_);
        std::string_view before = "{";
        for (const auto& [label, of] : labels) {
            text_.append(before).append(label).append("=\"").append(escaped(of)).append("\"");
            before = ",";
        }
        text_.append(labels.empty() ? "" : "}").append(" ").append(value).append("\n");
    }
    void sample(const Labels& labels, std::uint64_t value) {
        sample(labels, std::to_string(value));
    }
    std::string take() && { return std::move(text_) + (is_open_ ? "# EOF\n" : ""); }

    /// The label of a set of states is the family's own name.
    [[nodiscard]] std::string state_label() const { return is_open_ ? name_ : "state"; }

  private:
    [[nodiscard]] std::string_view word(MetricKind kind) const {
        switch (kind) {
        case MetricKind::counter:
            return "counter";
        case MetricKind::gauge:
            return "gauge";
        case MetricKind::state_set:
            return is_open_ ? "stateset" : "gauge";
        }
        return "";
    }
    /// OpenMetrics 1.0, "escaped-string".
    static std::string escaped(std::string_view text) {
        std::string out;
        for (const char c : text) {
            if (c == '\n') {
                out += "\\n";
                continue;
            }
            if (c == '"' || c == '\\')
                out += '\\';
            out += c;
        }
        return out;
    }

    bool is_open_;
    std::string text_;
    std::string name_;
    std::string ending_;
};

std::string seconds_of(units::Instant at) {
    const auto ms = at.time_since_epoch().count();
    char text[32];
    std::snprintf(text, sizeof text, "%lld.%03d", static_cast<long long>(ms / 1000),
                  static_cast<int>(ms % 1000));
    return text;
}

void add_chassis(Exposition& page, const std::vector<desk::ChassisSummary>& all) {
    page.family("router_session", MetricKind::state_set, "State of the router session.");
    for (const desk::ChassisSummary& view : all)
        for (const auto state :
             {desk::Session::connecting, desk::Session::connected, desk::Session::lost,
              desk::Session::refused, desk::Session::halted})
            page.sample({{"chassis", view.name}, {page.state_label(), std::string{to_word(state)}}},
                        view.session == state ? 1 : 0);
    page.family("last_answer_timestamp_seconds", MetricKind::gauge,
                "When the device last answered, by the daemon's time line.");
    for (const desk::ChassisSummary& view : all)
        if (view.last_answer)
            page.sample({{"chassis", view.name}}, seconds_of(*view.last_answer));
    page.family("unread_lines", MetricKind::gauge,
                "Lines of the newest answers that nothing read.");
    for (const desk::ChassisSummary& view : all)
        page.sample({{"chassis", view.name}}, view.unread_lines);
}

void add_work(Exposition& page, const desk::Desk& desk) {
    using Counted = std::map<std::pair<std::string, std::string>, std::uint64_t>;
    Counted gates;
    Counted procedures;
    for (const desk::ChassisSummary& view : desk.all_chassis()) {
        for (const auto verdict : {witness::Verdict::pending, witness::Verdict::pass,
                                   witness::Verdict::fail, witness::Verdict::cancelled})
            gates[{view.name, std::string{to_word(verdict)}}] = 0;
        for (const auto word : {witness::Word::state_met, witness::Word::wait, witness::Word::call,
                                witness::Word::stop})
            procedures[{view.name, std::string{to_word(word)}}] = 0;
    }
    for (const auto& view : desk.gates())
        ++gates[{view->chassis, std::string{to_word(view->finding.verdict)}}];
    for (const auto& view : desk.procedures())
        if (view->record.finding.phase != witness::Phase::closed)
            ++procedures[{view->chassis, std::string{to_word(view->record.finding.word)}}];
    page.family("gates", MetricKind::gauge, "Gates that are kept, by verdict.");
    for (const auto& [of, count] : gates)
        page.sample({{"chassis", of.first}, {"verdict", of.second}}, count);
    page.family("open_procedures", MetricKind::gauge,
                "Procedures under way, by the word they show.");
    for (const auto& [of, count] : procedures)
        page.sample({{"chassis", of.first}, {"word", of.second}}, count);
}

void add_server(Exposition& page, const Counts& counts) {
    page.family("responses", MetricKind::counter, "Responses of the API, by class of status.");
    for (std::size_t digit = 2; digit < counts.responses.size(); ++digit)
        page.sample({{"status", std::to_string(digit) + "xx"}}, counts.responses.at(digit));
    page.family("connections", MetricKind::gauge, "Connections to the API now.");
    page.sample({}, counts.connections);
    page.family("event_streams", MetricKind::gauge, "Event streams of the API now.");
    page.sample({}, counts.streams);
}

} // namespace

Next get_metrics(const Request&, const Places&, const desk::Desk&) {
    return Measure{};
}

Response metrics_shown(const Request& request, const Counts& counts, const desk::Desk& desk) {
    static constexpr std::array offers{open_metrics, older_text};
    const auto type = negotiate(request, offers);
    if (!type) {
        ProblemDetails problem;
        problem.status = 406;
        problem.detail = "None of the media types in Accept is made here.";
        problem.field = "Accept";
        problem.found = request.field("Accept").value_or("");
        problem.expected = "application/openmetrics-text or text/plain";
        problem.remedy = "Leave Accept out for OpenMetrics.";
        return to_response(problem, request.path);
    }
    const bool is_open = *type == open_metrics;
    Exposition page{is_open};
    page.family("ready", MetricKind::gauge, "1 if the daemon can record and judge.");
    page.sample({}, desk.health().ready ? 1 : 0);
    add_chassis(page, desk.all_chassis());
    add_work(page, desk);
    add_server(page, counts);
    Response response;
    response.fields = {
        {"Content-Type", is_open ? std::string{open_metrics} + "; version=1.0.0; charset=utf-8"
                                 : "text/plain; version=0.0.4; charset=utf-8"},
        {"Vary", "Accept"}};
    response.body = std::move(page).take();
    return response;
}

} // namespace slotwitness::api
