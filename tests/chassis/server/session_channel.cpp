#include "session_channel.hpp"

#include <libssh/server.h>

#include <algorithm>
#include <utility>

namespace slotwitness::chassis {

SessionChannel::SessionChannel(ssh_channel channel, const Doings& doings)
    : channel_(channel), doings_(doings), closed_(channel == nullptr) {
    callbacks_.userdata = this;
    callbacks_.channel_exec_request_function = on_exec;
    callbacks_.channel_data_function = on_data;
    callbacks_.channel_close_function = on_close;
    if (!doings_.shell.empty()) {
        callbacks_.channel_pty_request_function = on_terminal;
        callbacks_.channel_shell_request_function = on_shell;
    }
    ssh_callbacks_init(&callbacks_);
    if (channel_)
        ssh_set_channel_callbacks(channel_, &callbacks_);
}

SessionChannel::~SessionChannel() {
    if (!channel_)
        return;
    ssh_remove_channel_callbacks(channel_, &callbacks_);
    ssh_channel_free(channel_);
}

void SessionChannel::abandon() {
    if (channel_)
        ssh_remove_channel_callbacks(channel_, &callbacks_);
    channel_ = nullptr;
}

int SessionChannel::on_exec(ssh_session, ssh_channel, const char* command, void* self) {
    auto& channel = *static_cast<SessionChannel*>(self);
    channel.doings_.record("exec", command);
    if (channel.command_ || channel.shell_)
        return 1;
    channel.command_ = command;
    return 0;
}

int SessionChannel::on_data(ssh_session, ssh_channel, void* data, uint32_t size, int, void* self) {
    auto& channel = *static_cast<SessionChannel*>(self);
    const std::string_view bytes(static_cast<const char*>(data), size);
    channel.doings_.record("data", bytes);
    if (channel.shell_)
        channel.typed_ += bytes;
    return static_cast<int>(size);
}

int SessionChannel::on_terminal(ssh_session, ssh_channel, const char* kind, int columns, int rows,
                                int, int, void* self) {
    static_cast<SessionChannel*>(self)->doings_.record(
        "pty", std::string(kind) + " " + std::to_string(columns) + "x" + std::to_string(rows));
    return 0;
}

int SessionChannel::on_shell(ssh_session, ssh_channel, void* self) {
    auto& channel = *static_cast<SessionChannel*>(self);
    channel.doings_.record("shell", "");
    if (channel.command_ || channel.shell_)
        return 1;
    channel.shell_.emplace(channel.doings_.shell);
    return 0;
}

void SessionChannel::on_close(ssh_session, ssh_channel, void* self) {
    static_cast<SessionChannel*>(self)->closed_ = true;
}

bool SessionChannel::write_all(const std::string& text, std::size_t& sent, bool to_stderr) {
    constexpr std::size_t most = 32 * 1024;
    while (sent < text.size() && !closed_) {
        const auto size = static_cast<uint32_t>(std::min(text.size() - sent, most));
        const char* const from = text.data() + sent;
        const int written = to_stderr ? ssh_channel_write_stderr(channel_, from, size)
                                      : ssh_channel_write(channel_, from, size);
        if (written < 0)
            closed_ = true;
        if (written <= 0)
            return false;
        sent += static_cast<std::size_t>(written);
    }
    return !closed_;
}

SessionChannel::Progress SessionChannel::advance(Instant now) {
    if (closed_)
        return Progress::finished;
    if (shell_)
        return advance_shell(now);
    return command_ ? advance_command(now) : Progress::waiting;
}

/// Asks the chassis, once; true when the time has come to say what it said.
bool SessionChannel::is_answered(const std::string& command, Instant now) {
    if (!delivery_) {
        delivery_ = doings_.ask(command);
        due_ = now + delivery_->wait;
    }
    if (due_ && now < *due_)
        return false;
    due_.reset();
    return true;
}

SessionChannel::Progress SessionChannel::advance_command(Instant now) {
    if (!is_answered(*command_, now))
        return Progress::waiting;
    if (!write_all(delivery_->out, out_sent_, false) || !write_all(delivery_->err, err_sent_, true))
        return closed_ ? Progress::finished : Progress::waiting;
    return delivery_->drops ? Progress::drop : end(delivery_->status);
}

SessionChannel::Progress SessionChannel::advance_shell(Instant now) {
    shell_->type(std::exchange(typed_, {}));
    for (;;) {
        if (!command_)
            command_ = shell_->entered();
        if (!command_ || !is_answered(*command_, now))
            break;
        command_.reset();
        const Delivery delivery = *std::exchange(delivery_, std::nullopt);
        drops_ = delivery.drops;
        breaks_ = drops_ || !delivery.status;
        if (breaks_)
            shell_->broken_answer(delivery.out);
        else
            shell_->answer(delivery.out + delivery.err);
    }
    shown_ += shell_->take_shown();
    if (!write_all(shown_, out_sent_, false))
        return closed_ ? Progress::finished : Progress::waiting;
    shown_.clear();
    out_sent_ = 0;
    if (!shell_->has_left())
        return Progress::waiting;
    return drops_ ? Progress::drop : end(breaks_ ? std::nullopt : std::optional(0));
}

void SessionChannel::remark(std::string_view text) {
    if (shell_)
        shell_->remark(text);
}

SessionChannel::Progress SessionChannel::end(std::optional<int> status) {
    if (status)
        ssh_channel_request_send_exit_status(channel_, *status);
    ssh_channel_send_eof(channel_);
    ssh_channel_close(channel_);
    return Progress::finished;
}

} // namespace slotwitness::chassis
