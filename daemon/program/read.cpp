#include "exit_code.hpp"
#include "files.hpp"
#include "print_state.hpp"
#include "verbs.hpp"

#include <slotwitness/draft/draft.hpp>

#include <nlohmann/json.hpp>

#include <filesystem>
#include <iostream>
#include <optional>
#include <utility>

namespace slotwitness::program {

namespace {

int misused(const std::string& text) {
    std::cerr << "slotwitness read: " << text << '\n';
    return exit_usage;
}

/// "module=FAB3" for each.
tl::expected<std::map<std::string, std::string>, std::string>
parameters_of(const std::vector<std::string>& texts) {
    std::map<std::string, std::string> parameters;
    for (const std::string& text : texts) {
        const std::size_t equals = text.find('=');
        if (equals == std::string::npos || equals == 0)
            return tl::unexpected("--parameter \"" + text + "\" is not NAME=VALUE");
        if (!parameters.emplace(text.substr(0, equals), text.substr(equals + 1)).second)
            return tl::unexpected("--parameter " + text.substr(0, equals) + " is given twice");
    }
    return parameters;
}

/// One answer, read and shown.
class Answer {
  public:
    Answer(std::string file, profiles::Asking asking, std::string bytes, state::Reading reading)
        : file_(std::move(file)), asking_(std::move(asking)), bytes_(std::move(bytes)),
          reading_(std::move(reading)), lines_(marked::mark_lines(bytes_, reading_)) {}
    Answer(const Answer&) = delete; ///< the lines show the bytes
    Answer& operator=(const Answer&) = delete;
    ~Answer() = default;

    [[nodiscard]] bool has_doubts() const {
        return !reading_.unread.empty() || !reading_.remarks.empty();
    }

    void print() const {
        std::cout << file_ << ", read as " << asking_.key() << '\n';
        print_marked(std::cout, lines_, reading_);
        std::cout << "  " << counts_of(reading_) << '\n';
        if (!reading_.unread.empty())
            std::cout << "  first unread: " << file_ << ':' << reading_.unread.front().line << ':'
                      << reading_.unread.front().column << '\n';
        if (!reading_.unread.empty())
            std::cout << "  With a line unread, nothing can be found absent, and no \"every\", "
                         "\"no\" or \"at most\" can be met.\n";
    }

    [[nodiscard]] nlohmann::json told() const {
        nlohmann::json one = to_json(reading_);
        one["file"] = file_;
        one["query"] = asking_.key();
        one["lines"] = to_json(lines_);
        return one;
    }

  private:
    std::string file_;
    profiles::Asking asking_;
    std::string bytes_;
    state::Reading reading_;
    std::vector<marked::MarkedLine> lines_;
};

std::string queries_of(const profiles::Profile& profile) {
    std::string ids;
    for (const auto& [id, query] : profile.queries)
        ids += (ids.empty() ? "" : ", ") + id;
    return ids;
}

int read_answers(const ReadOptions& options) {
    const auto loaded = load_profile(options.profile);
    if (!loaded)
        return loaded.error();
    const profiles::Profile& profile = **loaded;
    const auto parameters = parameters_of(options.parameters);
    if (!parameters)
        return misused(parameters.error());
    nlohmann::json all = nlohmann::json::array();
    bool doubts = false;
    for (const std::string& file : options.files) {
        auto bytes = read_file(file);
        if (!bytes) {
            std::cerr << "slotwitness: " << bytes.error() << '\n';
            return exit_no_input;
        }
        const profiles::Asking asking{
            options.query.empty() ? std::filesystem::path(file).stem().string() : options.query,
            *parameters};
        if (!profile.queries.contains(asking.query))
            return misused(file + ": the profile has no query \"" + asking.query +
                           "\"; name with --query one of " + queries_of(profile));
        if (!parameters->empty())
            if (const auto sent = profiles::request_bytes(profile, asking); !sent)
                return misused(state::to_text(sent.error()));
        // A file says nothing of how the transport ended: it is taken as whole.
        state::Reading reading = profiles::read(profile, asking, *bytes, true);
        const Answer answer{file, asking, std::move(*bytes), std::move(reading)};
        doubts = doubts || answer.has_doubts();
        if (options.json)
            all.push_back(answer.told());
        else
            answer.print();
    }
    if (options.json)
        std::cout << all.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) << '\n';
    return doubts ? exit_bad_data : exit_pass;
}

int propose(const ReadOptions& options) {
    std::vector<draft::Sample> samples;
    for (const std::string& file : options.files) {
        auto bytes = read_file(file);
        if (!bytes) {
            std::cerr << "slotwitness: " << bytes.error() << '\n';
            return exit_no_input;
        }
        samples.push_back({std::filesystem::path(file).stem().string(), std::move(*bytes)});
    }
    std::cout << draft::draft_profile(samples);
    return exit_pass;
}

} // namespace

int read(const ReadOptions& options) {
    if (options.draft && options.check)
        return misused("--draft or --check, not both");
    if (options.draft && !options.profile.empty())
        return misused("--draft needs no --profile: it proposes one");
    if (options.draft && options.json)
        return misused("--draft prints a profile, which is TOML: leave --json out");
    if (options.draft)
        return propose(options);
    if (options.check)
        return check_packs(options);
    if (options.profile.empty())
        return misused("name a --profile, or let --draft propose a first one");
    return read_answers(options);
}

} // namespace slotwitness::program
