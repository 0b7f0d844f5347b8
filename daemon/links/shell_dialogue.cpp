#include "shell_dialogue.hpp"

#include "channel.hpp"
#include "refusal.hpp"

#include <libssh/libssh.h>

#include <algorithm>
#include <utility>

namespace slotwitness::links {

namespace asio = boost::asio;

namespace {

shell::Spec spec_of(const Limits& limits) {
    shell::Spec spec;
    spec.is_prompt = [approved = limits.shell](std::string_view line) {
        abnf::Scratch scratch;
        return approved->how().prompt.takes(line, scratch);
    };
    spec.pagers = limits.shell->pagers();
    spec.pager_key = limits.shell->how().pager_key;
    spec.longest_answer = limits.longest_answer;
    if (const auto& console = limits.shell->how().console)
        spec.console = shell::ConsoleKeys{console->redraw_key, console->clear_key};
    return spec;
}

} // namespace

ShellDialogue::ShellDialogue(std::shared_ptr<Session> session, Limits limits)
    : Conversation(std::move(session), std::move(limits),
                   {"shell", "check what the account is allowed, and [reach] in the profile"}),
      dialogue_(spec_of(limits_)) {}

bool ShellDialogue::is_usable() {
    if (is_over_ || is_asking_ || !channel_)
        return Conversation::is_usable();
    static_cast<void>(dialogue_.hear(channel_->take_arrived()));
    if (dialogue_.stage() != shell::Dialogue::Stage::ready || channel_->closed() ||
        channel_->answer().ended)
        end();
    return Conversation::is_usable();
}

asio::awaitable<tl::expected<Answer, LinkError>> ShellDialogue::exchange(ApprovedQuery query,
                                                                         Deadline deadline) {
    std::string line = dialogue_.ask(query.bytes());
    auto remark = co_await converse(std::move(line), deadline);
    if (!remark)
        co_return tl::unexpected(std::move(remark.error()));
    Answer answer;
    answer.bytes = dialogue_.answer();
    answer.ended = remark->empty();
    answer.remark = std::move(*remark);
    if (answer.ended) {
        answer.remark = refused_shell_answer(session_->refusals(), answer.bytes);
        answer.exit_status = answer.remark.empty() ? 0 : 1;
    }
    co_return answer;
}

asio::awaitable<ShellDialogue::Done> ShellDialogue::open(Deadline deadline) {
    const std::size_t columns = limits_.shell->how().columns;
    std::vector<Request> requests{
        {"asking for a terminal", "a terminal",
         [columns](Channel& channel) { return channel.terminal(columns); }},
        {"starting a shell", "to start it", [](Channel& channel) { return channel.shell(); }}};
    auto opened = co_await open_channel(std::move(requests), deadline);
    if (!opened)
        co_return opened;
    std::string nothing;
    const auto login = co_await converse(std::move(nothing), deadline);
    if (!login)
        co_return tl::unexpected(login.error());
    if (!login->empty())
        co_return tl::unexpected(refused(*login));
    for (const ApprovedQuery& query : limits_.shell->session_queries()) {
        std::string line = dialogue_.ask(query.bytes());
        const auto remark = co_await converse(std::move(line), deadline);
        if (!remark)
            co_return tl::unexpected(remark.error());
        if (!remark->empty())
            co_return tl::unexpected(refused("after \"" + query.bytes() + "\": " + *remark));
    }
    co_return Done{};
}

std::string ShellDialogue::why_over(bool due) const {
    if (dialogue_.stage() == shell::Dialogue::Stage::odd)
        return dialogue_.why();
    if (channel_->too_long())
        return "more than the limit of " + std::to_string(limits_.longest_answer) +
               " bytes; raise longest-answer in the profile";
    if (channel_->closed() || channel_->answer().ended)
        return "the device closed the shell while we were " + std::string(dialogue_.doing());
    if (!due)
        return "";
    std::string words =
        "cut after " + units::to_text(limits_.timeout) + ", " + std::string(dialogue_.doing());
    const auto line = dialogue_.waits_in();
    if (line)
        words += ", in the line " + *line;
    if (limits_.shell->how().console && line)
        return words + "; leave the console at its prompt: what somebody left there, or a login, "
                       "is never answered";
    return words + "; raise timeout in the profile if the device needs longer";
}

asio::awaitable<tl::expected<std::string, LinkError>> ShellDialogue::converse(std::string bytes,
                                                                              Deadline deadline) {
    for (bool due = false;;) {
        if (!bytes.empty()) {
            std::string line = std::exchange(bytes, {});
            const auto sent = co_await say(session_, channel_, std::move(line), deadline);
            if (!sent)
                co_return tl::unexpected(sent.error());
            if (*sent != SSH_OK)
                co_return why_over(due).empty() ? "the device takes nothing more" : why_over(due);
        }
        bytes = dialogue_.hear(channel_->take_arrived());
        if (!bytes.empty())
            continue;
        if (dialogue_.stage() == shell::Dialogue::Stage::ready)
            co_return std::string();
        std::string over = why_over(due);
        if (!over.empty())
            co_return over;
        if (!session_->alive())
            co_return tl::unexpected(session_->why());
        // A console is acted upon when it has fallen silent, not as its bytes come.
        const auto& console = limits_.shell->how().console;
        const bool awaits_silence = console && dialogue_.stage() == shell::Dialogue::Stage::finding;
        const Deadline silence =
            awaits_silence ? std::chrono::steady_clock::now() + console->quiet : deadline;
        const auto heard = co_await hear_more(session_, std::min(silence, deadline));
        if (!heard)
            co_return tl::unexpected(heard.error());
        due = !*heard && silence >= deadline;
        const bool is_silent = !*heard && !due;
        bytes = is_silent ? take_silence() : std::string();
    }
}

/// The wait for silence is over: what came at its very end still ends it.
std::string ShellDialogue::take_silence() {
    const std::string late = channel_->take_arrived();
    static_cast<void>(dialogue_.hear(late));
    return late.empty() ? dialogue_.fall_silent() : std::string();
}

} // namespace slotwitness::links
