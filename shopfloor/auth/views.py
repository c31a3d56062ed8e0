"""Pages to sign in and out, and to change a password."""

from typing import Any

from django.contrib.auth import views
from django.http import HttpResponse
from django.urls import reverse_lazy

from shopfloor.auth.first_password import PENDING, OwnPasswordForm, SignInForm
from shopfloor.auth.roles import who_may
from shopfloor.models import FirstPassword


class SignIn(views.LoginView):
    template_name = "office/sign_in.html"
    form_class = SignInForm

    def form_valid(self, form: SignInForm) -> HttpResponse:
        response = super().form_valid(form)
        if form.is_first:
            self.request.session[PENDING] = True
        return response


class Password(views.PasswordChangeView):
    template_name = "office/password.html"
    success_url = reverse_lazy("office-password-changed")
    form_class = OwnPasswordForm

    def get_context_data(self, **known: Any) -> dict[str, Any]:
        return super().get_context_data(**known, first=self.request.session.get(PENDING))

    def form_valid(self, form: OwnPasswordForm) -> HttpResponse:
        response = super().form_valid(form)
        FirstPassword.objects.filter(user=self.request.user).delete()
        self.request.session.pop(PENDING, None)
        return response


sign_in = who_may("anybody")(SignIn.as_view())
sign_out = who_may("anybody")(views.LogoutView.as_view())
password = who_may("screen room", "manager")(Password.as_view())
password_changed = who_may("screen room", "manager")(
    views.PasswordChangeDoneView.as_view(template_name="office/password_changed.html")
)
