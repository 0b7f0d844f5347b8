#include "exec_channel.hpp"

#include <libssh/server.h>

#include <algorithm>

namespace slotwitness::chassis {

ExecChannel::ExecChannel(ssh_channel channel, const Doings& doings)
    : channel_(channel), doings_(doings), closed_(channel == nullptr) {
    callbacks_.userdata = this;
    callbacks_.channel_exec_request_function = on_exec;
    callbacks_.channel_data_function = on_data;
    callbacks_.channel_close_function = on_close;
    ssh_callbacks_init(&callbacks_);
    if (channel_)
        ssh_set_channel_callbacks(channel_, &callbacks_);
}

ExecChannel::~ExecChannel() {
    if (!channel_)
        return;
    ssh_remove_channel_callbacks(channel_, &callbacks_);
    ssh_channel_free(channel_);
}

void ExecChannel::abandon() {
    if (channel_)
        ssh_remove_channel_callbacks(channel_, &callbacks_);
    channel_ = nullptr;
}

int ExecChannel::on_exec(ssh_session, ssh_channel, const char* command, void* self) {
    auto& channel = *static_cast<ExecChannel*>(self);
    channel.doings_.record("exec", command);
    if (channel.command_)
        return 1;
    channel.command_ = command;
    return 0;
}

int ExecChannel::on_data(ssh_session, ssh_channel, void* data, uint32_t size, int, void* self) {
    static_cast<ExecChannel*>(self)->doings_.record("data", {static_cast<const char*>(data), size});
    return static_cast<int>(size);
}

void ExecChannel::on_close(ssh_session, ssh_channel, void* self) {
    static_cast<ExecChannel*>(self)->closed_ = true;
}

bool ExecChannel::write_all(const std::string& text, std::size_t& sent, bool to_stderr) {
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

ExecChannel::Progress ExecChannel::advance(Instant now) {
    if (closed_)
        return Progress::finished;
    if (!command_)
        return Progress::waiting;
    if (!delivery_) {
        delivery_ = doings_.ask(*command_);
        due_ = now + delivery_->wait;
    }
    if (due_ && now < *due_)
        return Progress::waiting;
    due_.reset();
    if (!write_all(delivery_->out, out_sent_, false) || !write_all(delivery_->err, err_sent_, true))
        return closed_ ? Progress::finished : Progress::waiting;
    if (delivery_->drops)
        return Progress::drop;
    if (delivery_->status)
        ssh_channel_request_send_exit_status(channel_, *delivery_->status);
    ssh_channel_send_eof(channel_);
    ssh_channel_close(channel_);
    return Progress::finished;
}

} // namespace slotwitness::chassis
