#include "player.hpp"

#include "control.hpp"
#include "http.hpp"

#include <algorithm>
#include <iostream>

namespace slotwitness::scenario {

namespace {

/// Asks again and again with the long wait of the API; no polling pause is needed.
constexpr const char* long_wait = "wait=60";

std::string text_of(const nlohmann::json& object, const char* member) {
    return object.is_object() && object.contains(member) && object[member].is_string()
               ? object[member].get<std::string>()
               : "";
}

} // namespace

tl::expected<std::size_t, std::string> Player::play(const Script& script) {
    std::cout << script.title << "\n" << std::endl;
    if (auto seen = wait_until_seen(script); !seen)
        return tl::unexpected(seen.error());
    std::size_t otherwise = 0;
    for (std::size_t i = 0; i < script.steps.size(); ++i) {
        if (auto retired = retire_before(script, i); !retired)
            return tl::unexpected(retired.error());
        const Step& step = script.steps[i];
        std::cout << i + 1 << ". " << step.say << "\n   gate: " << step.gate << std::endl;
        const auto ended = play_step(script, step);
        if (!ended)
            return tl::unexpected(ended.error());
        const bool as_written = ended->outcome == step.expect;
        otherwise += !as_written;
        std::cout << "   " << ended->outcome << " at " << ended->decided << '\n'
                  << "   " << ended->because << '\n';
        if (!ended->line.empty())
            std::cout << "   the device reports: " << ended->line << '\n';
        if (ended->more > 0)
            std::cout << "   and " << ended->more
                      << (ended->more == 1 ? " more line" : " more lines") << " that it rests on\n";
        if (!as_written)
            std::cout << "   OTHERWISE THAN WRITTEN: the scenario expects " << step.expect << '\n';
        std::cout << std::endl;
    }
    return otherwise;
}

/// Names are checked against what was seen: wait for the first answers before the first gate.
tl::expected<void, std::string> Player::wait_until_seen(const Script& script) {
    nlohmann::json wish = {{"chassis", script.chassis},
                           {"sentence", "chassis " + script.chassis + " present within 60 s"}};
    const auto opened = request("POST", daemon_, "/v1/gates", wish);
    if (!opened)
        return tl::unexpected(opened.error());
    if (opened->status != 201)
        return tl::unexpected("the daemon did not open a gate: " + opened->body.dump());
    const auto ended = wait_for_verdict(text_of(opened->body, "id"));
    if (!ended)
        return tl::unexpected(ended.error());
    if (ended->outcome != "pass")
        return tl::unexpected("the daemon does not see chassis " + script.chassis + ": " +
                              ended->because);
    if (const auto gone = request("DELETE", daemon_, "/v1/gates/" + text_of(opened->body, "id"));
        !gone)
        return tl::unexpected(gone.error());
    return {};
}

tl::expected<Player::Ended, std::string> Player::play_step(const Script& script, const Step& step) {
    const auto opened = request("POST", daemon_, "/v1/gates",
                                {{"chassis", script.chassis}, {"sentence", step.gate}});
    if (!opened)
        return tl::unexpected(opened.error());
    if (opened->status != 201)
        return tl::unexpected("the daemon did not open the gate: " + opened->body.dump());
    gates_.push_back(text_of(opened->body, "id"));
    for (const std::string& act : step.acts) {
        std::cout << "   " << act << std::endl;
        const auto done = control(control_, act);
        if (!done)
            return tl::unexpected(done.error());
        if (!nlohmann::json::parse(*done).value("done", false))
            return tl::unexpected("the chassis did not do \"" + act + "\": " + *done);
    }
    return wait_for_verdict(gates_.back());
}

tl::expected<Player::Ended, std::string> Player::wait_for_verdict(const std::string& gate) {
    while (true) {
        const auto answer = request("GET", daemon_, "/v1/gates/" + gate, nullptr, long_wait);
        if (!answer)
            return tl::unexpected(answer.error());
        if (answer->status != 200)
            return tl::unexpected("gate " + gate + ": status " + std::to_string(answer->status));
        const std::string verdict = text_of(answer->body, "verdict");
        if (verdict == "pending")
            continue;
        const nlohmann::json& because = answer->body["because"];
        Ended ended{verdict == "fail" ? text_of(answer->body, "failure") : verdict,
                    text_of(because, "text"), "", 0, ""};
        if (because.contains("cites") && !because["cites"].empty()) {
            ended.line = text_of(because["cites"].front(), "text");
            ended.more = because["cites"].size() - 1;
        }
        ended.decided = text_of(answer->body, "decided");
        return ended;
    }
}

tl::expected<void, std::string> Player::retire_before(const Script& script, std::size_t next) {
    for (std::size_t i = 0; i < next; ++i) {
        const std::string& until = script.steps[i].until;
        const bool due = until.empty() ? i + 1 == next : until == script.steps[next].name;
        if (!due || gates_[i].empty())
            continue;
        if (const auto gone = request("DELETE", daemon_, "/v1/gates/" + gates_[i]); !gone)
            return tl::unexpected(gone.error());
        gates_[i].clear();
    }
    return {};
}

} // namespace slotwitness::scenario
