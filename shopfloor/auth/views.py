"""Pages to sign in and out, and to change a password."""

from django.contrib.auth import views
from django.urls import reverse_lazy

from shopfloor.auth.roles import who_may

sign_in = who_may("anybody")(views.LoginView.as_view(template_name="office/sign_in.html"))
sign_out = who_may("anybody")(views.LogoutView.as_view())
password = who_may("screen room", "manager")(
    views.PasswordChangeView.as_view(
        template_name="office/password.html", success_url=reverse_lazy("office-password-changed")
    )
)
password_changed = who_may("screen room", "manager")(
    views.PasswordChangeDoneView.as_view(template_name="office/password_changed.html")
)
