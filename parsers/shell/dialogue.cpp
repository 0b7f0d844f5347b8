#include "dialogue.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::shell {
namespace {

/// Of the device's words, so much as a message can show.
std::string shown(std::string_view text) {
    constexpr std::size_t most = 80;
    std::string words = "\"";
    for (const char byte : text.substr(0, most)) {
        const bool is_printable = byte >= ' ' && byte <= '~';
        words += is_printable ? byte : '.';
    }
    return words + (text.size() > most ? "…\"" : "\"");
}

} // namespace

Dialogue::Dialogue(Spec spec) : spec_(std::move(spec)) {
    if (!spec_.console)
        return;
    finder_.emplace(spec_.is_prompt, *spec_.console, spec_.pagers, spec_.pager_key);
    stage_ = Stage::finding;
}

std::string Dialogue::fall_silent() {
    if (stage_ != Stage::finding)
        return {};
    std::string sent = finder_->fall_silent();
    if (!finder_->why().empty()) {
        be_odd(finder_->why());
        return {};
    }
    if (const auto& prompt = finder_->found()) {
        prompt_ = *prompt;
        stage_ = Stage::ready;
    }
    return sent;
}

std::optional<std::string> Dialogue::waits_in() const {
    if (stage_ == Stage::finding)
        return shown(finder_->last_line());
    return stage_ == Stage::login ? std::optional(shown(login_line_)) : std::nullopt;
}

std::string Dialogue::hear(std::string_view bytes) {
    if (stage_ == Stage::ready && !bytes.empty())
        be_odd("the device said " + shown(bytes) + " without being asked");
    for (std::size_t i = 0; i < bytes.size() && stage_ != Stage::odd; ++i)
        take(bytes[i], i + 1 == bytes.size());
    return stage_ == Stage::odd ? std::string() : std::exchange(sending_, {});
}

std::string Dialogue::ask(std::string_view query) {
    query_ = query;
    answer_.clear();
    begin_line();
    heard_ = 0;
    stage_ = Stage::echo;
    return query_ + std::string(line_end);
}

std::string_view Dialogue::doing() const {
    switch (stage_) {
    case Stage::finding:
        return "waiting for the prompt of the shell that is there";
    case Stage::login:
        return "waiting for the prompt after login";
    case Stage::proving:
        return "waiting for the prompt to come again after an empty line";
    case Stage::ready:
        return "ready";
    case Stage::echo:
        return "waiting for the echo of a query";
    case Stage::answer:
        return "waiting for the prompt after an answer";
    case Stage::odd:
        return "closed";
    }
    return "closed";
}

void Dialogue::take(char byte, bool is_last) {
    switch (stage_) {
    case Stage::finding:
        return find_prompt(byte);
    case Stage::login:
        return take_login(byte, is_last);
    case Stage::proving:
        return take_proof(byte);
    case Stage::ready:
        // Only what came together with the end of the proof.
        return be_odd("the device went on after its prompt " + shown(prompt_));
    case Stage::echo:
        return take_echo(byte);
    case Stage::answer:
        return take_answer(byte, is_last);
    case Stage::odd:
        return;
    }
}

void Dialogue::find_prompt(char byte) {
    finder_->hear(byte);
    if (++heard_ > spec_.longest_answer + longest_login)
        be_odd("no prompt within " + std::to_string(heard_ - 1) +
               " bytes; something else is going on in this shell");
}

void Dialogue::take_login(char byte, bool is_last) {
    if (++heard_ > longest_login)
        return be_odd("no prompt within " + std::to_string(longest_login) +
                      " bytes after login; correct the rule of the prompt in the profile");
    if (byte == '\n' || byte == '\r') {
        login_line_.clear();
        return;
    }
    login_line_ += byte;
    if (login_line_.size() > longest_prompt || !spec_.is_prompt(login_line_))
        return;
    prompt_ = std::exchange(login_line_, {});
    prompt_came(is_last);
}

void Dialogue::prompt_came(bool is_last) {
    // What is behind it was sent before our empty line could arrive.
    if (!is_last)
        return be_odd("the device went on in a line that begins like its prompt, " +
                      shown(prompt_));
    stage_ = Stage::proving;
    heard_ = 0;
    line_ended_ = false;
    sending_ += line_end;
}

void Dialogue::take_proof(char byte) {
    if (!line_ended_) {
        line_ended_ = byte == '\n';
        if (line_ended_ || byte == '\r')
            return;
    } else if (byte == '\r' && heard_ == 0) {
        return;
    } else if (byte == prompt_[heard_]) {
        if (++heard_ == prompt_.size())
            stage_ = Stage::ready;
        return;
    }
    be_odd("the prompt " + shown(prompt_) +
           " did not come again after an empty line: it is the beginning of another line, it "
           "changes, or the device said something else; correct the rule of the prompt in the "
           "profile, or keep log lines off this terminal");
}

void Dialogue::take_echo(char byte) {
    if (heard_ < query_.size() && byte == query_[heard_]) {
        ++heard_;
        return;
    }
    if (heard_ == query_.size() && byte == '\r')
        return;
    if (heard_ == query_.size() && byte == '\n') {
        stage_ = Stage::answer;
        return;
    }
    be_odd("the device did not repeat " + shown(query_) + " as it was sent: after " +
           std::to_string(heard_) + " of its " + std::to_string(query_.size()) +
           " characters came " + shown(std::string_view(&byte, 1)));
}

void Dialogue::take_answer(char byte, bool is_last) {
    answer_ += byte;
    if (byte == '\n') {
        begin_line();
    } else if (line() == prompt_) {
        answer_.resize(answer_.size() - prompt_.size());
        return answer_.size() > spec_.longest_answer ? too_long() : prompt_came(is_last);
    } else if (spec_.pager_key &&
               std::find(spec_.pagers.begin(), spec_.pagers.end(), line()) != spec_.pagers.end()) {
        if (!is_last)
            return; // no pager waits here: the line goes on
        sending_ += *spec_.pager_key;
        paged_ = true;
    }
    // Room for a prompt, which is not part of the answer.
    if (answer_.size() > spec_.longest_answer + prompt_.size())
        too_long();
}

void Dialogue::too_long() {
    answer_.resize(spec_.longest_answer);
    be_odd("the answer is longer than the limit of " + std::to_string(spec_.longest_answer) +
           " bytes; raise longest-answer in the profile");
}

void Dialogue::begin_line() {
    line_at_ = answer_.size();
    paged_ = false;
}

/// What stands in the line of the answer; behind an answered prompt of the pager, what came after
/// it was taken back. Nothing of a line that is too long for a prompt, so that each byte is cheap.
std::string_view Dialogue::line() const {
    constexpr std::size_t longest = 4 * longest_prompt; // with a prompt that was taken back
    std::string_view text = std::string_view(answer_).substr(line_at_);
    if (text.size() > longest)
        return {};
    const auto before = paged_ ? text.find_last_of("\r\b") : text.find_first_not_of('\r');
    if (before == std::string_view::npos)
        return {};
    return text.substr(paged_ ? before + 1 : before);
}

void Dialogue::be_odd(std::string why) {
    stage_ = Stage::odd;
    why_ = std::move(why);
}

} // namespace slotwitness::shell
