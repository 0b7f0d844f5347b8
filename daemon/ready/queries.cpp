#include "check.hpp"
#include "findings.hpp"

#include <slotwitness/witness/say.hpp>

#include <algorithm>
#include <utility>

namespace slotwitness::ready {
namespace {

/// What to do where no answer came.
std::string remedy_for(witness::NoAnswer why) {
    switch (why) {
    case witness::NoAnswer::unreachable:
    case witness::NoAnswer::session_lost:
    case witness::NoAnswer::timed_out:
        return "Find out why the router session does not last, then look again: the work needs one "
               "that does.";
    case witness::NoAnswer::host_key:
    case witness::NoAnswer::credential:
    case witness::NoAnswer::wrong_chassis:
        return "Mend known-hosts, user or key of this chassis in the configuration.";
    case witness::NoAnswer::locked:
        return "Have the account unlocked, once it is known who locked it and why.";
    case witness::NoAnswer::aaa:
        return "Restore the way from the device to the server that decides about accounts.";
    case witness::NoAnswer::no_line:
    case witness::NoAnswer::refused:
        return "See on the device how many sessions and channels this account may have at once.";
    case witness::NoAnswer::guarded:
        return "Mend the query in the profile.";
    case witness::NoAnswer::internal:
        return "Report this as a defect of slotwitness.";
    }
    return "Look again.";
}

std::string times(std::size_t count, const std::string& one) {
    return std::to_string(count) + " " + one + (count == 1 ? "" : "s");
}

class QueryChecker {
  public:
    explicit QueryChecker(const std::vector<Said>& said) : said_(said) {}

    void check(const Tried& tried) {
        if (const auto* silent = std::get_if<witness::Silent>(&tried.came))
            holds_up(tried.asking, "no answer: " + silent->remark, remedy_for(silent->why));
        else
            check(tried, std::get<Answer>(tried.came));
    }

    void check_not_asked(const std::vector<std::string>& askings) {
        if (askings.empty())
            return;
        found_.findings.push_back({Weight::holds_up, "queries",
                                   "the router session was lost before these were asked: " +
                                       witness::spoken_list(askings),
                                   remedy_for(witness::NoAnswer::session_lost)});
        found_.wanting.insert(askings.begin(), askings.end());
    }

    [[nodiscard]] OfQueries take() && { return std::move(found_); }

  private:
    void check(const Tried& tried, const Answer& answer) {
        const witness::Ending& ending = answer.ending;
        if (ending.ended && ending.exit_status && *ending.exit_status != 0)
            holds_up(tried.asking, ending.remark,
                     "Let this account ask \"" + tried.request +
                         "\", and see by hand what the device answers to it.");
        else if (!ending.complete())
            holds_up(tried.asking, "the answer is not whole: " + ending.remark,
                     "Look again. If it is cut again, raise timeout or longest-answer in [reach] "
                     "of the profile.");
        else if (!answer.reading->wholly_read())
            check_unread(tried.asking, answer.reading->unread);
        if (!answer.reading->remarks.empty())
            advise(tried.asking, answer.reading->remarks);
    }

    void check_unread(const std::string& asking, const std::vector<state::UnreadLine>& unread) {
        Finding finding{Weight::advice, "query " + asking,
                        times(unread.size(), "line") +
                            " of the answer that nobody reads: what they may be about is not known",
                        "Save the answers with \"slotwitness capture\", see with \"slotwitness "
                        "read\" where each line stops, and mend the profile.",
                        needed_by(asking)};
        for (const state::UnreadLine& line : unread)
            finding.cites.push_back({asking, {}, {line.line, line.column}, line.text});
        if (!finding.needed_by.empty()) {
            finding.weight = Weight::holds_up;
            found_.wanting.insert(asking);
        }
        found_.findings.push_back(std::move(finding));
    }

    void advise(const std::string& asking, const std::vector<state::Remark>& remarks) {
        Finding finding{Weight::advice, "query " + asking,
                        times(remarks.size(), "remark") + " on the answer: " + remarks.front().text,
                        "Say in the profile what the device's words mean, by its handbook; see the "
                        "answer with \"slotwitness read\"."};
        for (const state::Remark& remark : remarks)
            finding.cites.push_back({asking, {}, remark.at, remark.text});
        found_.findings.push_back(std::move(finding));
    }

    void holds_up(const std::string& asking, std::string says, std::string remedy) {
        found_.findings.push_back({Weight::holds_up, "query " + asking, std::move(says),
                                   std::move(remedy), needed_by(asking)});
        found_.wanting.insert(asking);
    }

    /// Each part once.
    [[nodiscard]] std::vector<std::string> needed_by(const std::string& asking) const {
        std::vector<std::string> parts;
        for (const Said& each : said_)
            if (each.asks(asking) && std::find(parts.begin(), parts.end(), each.of) == parts.end())
                parts.push_back(each.of);
        return parts;
    }

    const std::vector<Said>& said_;
    OfQueries found_;
};

} // namespace

OfQueries of_queries(const Work& work, const Look& look, const std::vector<Said>& said) {
    QueryChecker checker(said);
    std::vector<std::string> not_asked;
    for (const profiles::Asking& asking : askings(work.chassis.profile, work.procedure)) {
        const std::string key = asking.key();
        if (const Tried* tried = look.of(key))
            checker.check(*tried);
        else
            not_asked.push_back(key);
    }
    checker.check_not_asked(not_asked);
    OfQueries found = std::move(checker).take();
    if (found.findings.empty())
        found.findings.push_back({Weight::as_needed,
                                  "queries",
                                  "each of " + std::to_string(look.tried.size()) +
                                      " was allowed, answered whole and read to its last line",
                                  {}});
    return found;
}

} // namespace slotwitness::ready
